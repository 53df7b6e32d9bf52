import {
  canCopyPackets,
  copiedInputOptions,
  copyArguments,
  decodeArguments,
  type PictureOutput,
} from '../../programs/decodeArguments.ts';
import { isMp4OrMov } from '../../programs/openMedia.ts';
import { mediaArgument } from '../../programs/run.ts';
import { frameShape, type FrameRequest } from './frame.ts';

/** Frames leave on standard output, and some beside it. */
export type FrameWay = 'leaving' | 'pair';

/** The arguments that make ffmpeg write the frames asked for, as raw planes, and say their times. */
export function frameArguments(request: FrameRequest): string[] {
  const { startSeconds, geometry, select, pairShrunkBy, keyFramesOnly } = request;
  const fed = isFed(request);
  return decodeArguments({
    input: fed ? 'pipe:0' : mediaArgument(request.media),
    program: request.program,
    inputOptions: [
      '-nostats',
      // Turning the picture costs time and changes nothing that is measured.
      '-noautorotate',
      ...(fed
        ? copiedInputOptions
        : [...(keyFramesOnly === true ? ['-skip_frame', 'nokey'] : []), ...probing(request)]),
      ...(startSeconds === undefined ? [] : ['-noaccurate_seek']),
    ],
    startSeconds,
    ...pictureOutput(request, 'leaving'),
    secondOutput:
      pairShrunkBy === undefined
        ? undefined
        : pictureOutput({ geometry, lumaShrunkBy: pairShrunkBy, maxFrames: 2, select }, 'pair'),
    // showinfo speaks at this level.
    logLevel: 'info',
  });
}

function probing({ unprobed }: FrameRequest): string[] {
  return unprobed === true ? ['-nofind_stream_info'] : [];
}

/** Whether a second ffmpeg is to read the file, and hand the decoder nothing but the packets it is to decode. */
function isFed({ keyFramesOnly, program }: FrameRequest): boolean {
  return keyFramesOnly === true && canCopyPackets(program);
}

/** The arguments of that second ffmpeg; undefined where there is none. */
export async function feederArguments(request: FrameRequest): Promise<string[] | undefined> {
  if (!isFed(request)) return undefined;
  const isIndexed = await isMp4OrMov(request.media);
  const { keysLeftOut } = request;
  return copyArguments({
    input: mediaArgument(request.media),
    // The reader of MP4 and MOV leaves out all else unread.
    inputOptions: ['-discard', 'nokey', ...probing(request)],
    // It then gives the nth key frame the delay of the nth frame. That of the first is right for all of them, but where
    // later pictures are shown before a key frame.
    shownAt: isIndexed ? 'DTS+STARTPTS-STARTDTS' : undefined,
    drop: keysLeftOut === undefined ? `not(${shownKey})` : `if(${shownKey},${keysLeftOut},1)`,
  });
}

const shownKey = 'key*gte(pts,0)';

type OutputRequest = Pick<FrameRequest, 'geometry' | 'select' | 'maxFrames' | 'rowStep' | 'lumaShrunkBy'>;

function pictureOutput(request: OutputRequest, way: FrameWay): PictureOutput {
  const { geometry, select, maxFrames, rowStep = 1, lumaShrunkBy } = request;
  const size = frameShape({ ...request, rowStep: 1 });
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
