import { decodeArguments, type PictureOutput } from '../../programs/decodeArguments.ts';
import { mediaArgument } from '../../programs/run.ts';
import { frameShape, type FrameGeometry, type FrameRequest } from './frame.ts';

/** Frames leave on standard output, and those of pairs on descriptor 4. */
export type FrameWay = 'leaving' | 'pair';

/** The arguments that make ffmpeg write the frames asked for, as raw planes, and say their times. */
export function frameArguments(request: FrameRequest): string[] {
  const { startSeconds, geometry, pairs, keyFramesOnly, unprobed, fed } = request;
  return decodeArguments({
    input: fed === undefined ? mediaArgument(request.media) : 'pipe:0',
    program: request.program,
    inputOptions: [
      '-nostats',
      // Turning the picture costs time and changes nothing that is measured.
      '-noautorotate',
      ...(fed === undefined ? [] : ['-f', 'mp4']),
      ...(keyFramesOnly === true ? ['-skip_frame', 'nokey'] : []),
      ...(unprobed === true || fed !== undefined ? ['-nofind_stream_info'] : []),
      ...(startSeconds === undefined ? [] : ['-noaccurate_seek']),
    ],
    startSeconds,
    ...pictureOutput(geometry, request, 'leaving'),
    secondOutput: pairs && pictureOutput(geometry, { ...pairs, lumaShrunkBy: pairs.shrunkBy }, 'pair'),
    // showinfo speaks at this level.
    logLevel: 'info',
  });
}

interface OutputRequest extends Pick<FrameRequest, 'select' | 'maxFrames' | 'rowStep'> {
  readonly lumaShrunkBy?: number;
}

function pictureOutput(geometry: FrameGeometry, request: OutputRequest, way: FrameWay): PictureOutput {
  const { select, maxFrames, rowStep = 1, lumaShrunkBy } = request;
  const size = frameShape(geometry, { lumaShrunkBy });
  const planes = lumaShrunkBy === undefined ? 'yuv420p' : 'gray';
  const pixelFormat = geometry.bitDepth > 8 ? `${planes}${geometry.bitDepth}le` : planes;
  return {
    filters: [
      // Microseconds: showinfo prints times as a rounded decimal, and ticks exactly.
      'settb=AVTB',
      ...(select === undefined || way === 'pair' ? [] : [showTimes('decoded')]),
      ...(select === undefined ? [] : [`select='${select}'`]),
      showTimes(way),
      // The same range on both sides: codes stay as they are, whatever the stream says of its range. The size is
      // that of most frames; a stream that changes it midway must not shift the bytes.
      `scale=${size.width}:${size.height}:in_range=full:out_range=full:flags=area`,
      // Also after a stream changes its format midway: a conversion that ffmpeg adds by itself goes by other ranges.
      `format=${pixelFormat}`,
      // Takes every second row by a longer stride: nothing is copied.
      ...Array.from({ length: Math.log2(rowStep) }, () => 'field=top'),
    ],
    frames: maxFrames,
    pixelFormat,
  };
}

/** A showinfo filter, to stand where every decoded frame comes by, or where frames leave. */
function showTimes(of: 'decoded' | FrameWay): string {
  return `showinfo@${of}=checksum=0`;
}
