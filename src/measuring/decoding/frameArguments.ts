import { decodeArguments } from '../../programs/decodeArguments.ts';
import type { PictureOutput } from '../../programs/decodeArguments.ts';
import { mediaArgument } from '../../programs/run.ts';
import { frameShape } from './frame.ts';
import type { FrameRequest } from './frame.ts';
import { showTimes } from './frameTimes.ts';

/** The arguments that make ffmpeg write the frames asked for, as raw planes, and say their times. */
export function frameArguments(request: FrameRequest): string[] {
  const { startSeconds } = request;
  return decodeArguments({
    input: mediaArgument(request.media),
    program: request.program,
    inputOptions: [
      '-nostats',
      // Turning the picture costs time and changes nothing that is measured.
      '-noautorotate',
      // The reader of MP4 and MOV then leaves out all else unread; where others do not, the decoder throws it away.
      ...(request.keyFramesOnly === true ? ['-discard', 'nokey', '-skip_frame', 'nokey'] : []),
      ...(request.unprobed === true ? ['-nofind_stream_info'] : []),
      ...(startSeconds === undefined ? [] : ['-noaccurate_seek']),
    ],
    ...(startSeconds === undefined ? {} : { startSeconds }),
    ...pictureOutput(request, 'leaving'),
    ...(request.pairShrunkBy === undefined
      ? {}
      : { aside: pictureOutput(pairRequest(request, request.pairShrunkBy), 'aside') }),
    // showinfo speaks at this level.
    logLevel: 'info',
  });
}

function pairRequest({ geometry, select }: FrameRequest, lumaShrunkBy: number): OutputRequest {
  return { geometry, lumaShrunkBy, maxFrames: 2, ...(select === undefined ? {} : { select }) };
}

type OutputRequest = Pick<FrameRequest, 'geometry' | 'select' | 'maxFrames' | 'rowStep' | 'lumaShrunkBy'>;

function pictureOutput(request: OutputRequest, way: 'leaving' | 'aside'): PictureOutput {
  const { geometry, select, maxFrames, rowStep = 1, lumaShrunkBy } = request;
  const size = frameShape({ ...request, rowStep: 1 });
  const format = lumaShrunkBy === undefined ? 'yuv420p' : 'gray';
  return {
    filters: [
      // Microseconds: showinfo prints times as a rounded decimal, and ticks exactly.
      'settb=AVTB',
      ...(select === undefined || way === 'aside' ? [] : [showTimes('decoded')]),
      ...(select === undefined ? [] : [`select='${select}'`]),
      showTimes(way),
      // The same range on both sides: codes stay as they are, whatever the stream says of its range. The size is
      // that of most frames; a stream that changes it midway must not shift the bytes.
      `scale=${size.width}:${size.height}:in_range=full:out_range=full:flags=area`,
      // Takes every second row by a longer stride: nothing is copied.
      ...Array.from({ length: Math.log2(rowStep) }, () => 'field=top'),
    ],
    ...(maxFrames === undefined ? {} : { frames: maxFrames }),
    pixelFormat: geometry.bitDepth > 8 ? `${format}${geometry.bitDepth}le` : format,
  };
}
