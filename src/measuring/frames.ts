import { decodeArguments } from '../programs/decodeArguments.ts';
import type { PictureOutput } from '../programs/decodeArguments.ts';
import type { Program } from '../programs/program.ts';
import type { OpenMedia } from '../programs/openMedia.ts';
import { mediaArgument, streamProgram } from '../programs/run.ts';
import type { ProgramEnd } from '../programs/run.ts';
import { planTimes, showTimes } from './frameTimes.ts';
import type { DecodeTally } from './frameTimes.ts';
import { planLumaPair } from './lumaPair.ts';
import { borrowMemory } from './spareMemory.ts';

/** Size and depth of the pictures as they are stored, before any rotation. */
export interface FrameGeometry {
  readonly width: number;
  readonly height: number;
  /** Bits of a code: 8 to 16. */
  readonly bitDepth: number;
}

/**
 * One picture as it was coded: 4:2:0 planes, row by row. The arrays are overwritten when the next frame is asked for,
 * unless `keep` was called.
 */
export interface Frame extends FrameGeometry {
  /** Presentation time, from the first frame of the clip. */
  readonly atSeconds: number;
  /** Where it is not 1, `height` counts the rows that are there, and each stands for so many of the picture. */
  readonly rowStep?: number;
  /** Set where only luma is there, each code the mean of a block with sides of so many pixels. */
  readonly lumaShrunkBy?: number;
  readonly luma: Uint8Array | Uint16Array;
  /** Chroma planes are half as wide and half as high as luma, rounded up. */
  readonly cb: Uint8Array | Uint16Array;
  readonly cr: Uint8Array | Uint16Array;
  /** Where it is there: leaves the luma to the caller, who hands its memory back with returnMemory(). */
  readonly keep?: () => void;
}

export interface FrameRequest {
  readonly program: Program;
  readonly media: OpenMedia;
  readonly geometry: FrameGeometry;
  /** Where to begin; frames from the key frame before it come too, with times below `startSeconds`. */
  readonly startSeconds?: number;
  /** ffmpeg `select` expression over `t`, which counts from `startSeconds`. */
  readonly select?: string;
  readonly maxFrames?: number;
  /** Give only every so many rows, a power of two that leaves an even number of rows. */
  readonly rowStep?: number;
  /** Give nothing but luma, as means of blocks with sides of so many pixels. Not together with `rowStep`. */
  readonly lumaShrunkBy?: number;
  /** After all others come the first two frames once more, every row of them, as luma shrunk by so much. */
  readonly pairShrunkBy?: number;
  /** Key frames and nothing else. */
  readonly keyFramesOnly?: boolean;
  /** Leave out ffmpeg's own look through the file. Halves the cost of a seek; not every container allows it. */
  readonly unprobed?: boolean;
  readonly wallMs: number;
  /** Memory from decoding before, used again where the size is the same. One run of ffmpeg at a time. */
  readonly buffers?: Map<number, ArrayBuffer>;
  readonly signal?: AbortSignal;
}

/** Address space of one decoder: 8K pictures of 10 bits fit, a crafted header that asks for more does not. */
const mostMemoryKiB = 2_000_000;

/** How decoding ended, and how much was decoded to get there. */
export type FramesEnd = ProgramEnd & DecodeTally;

/** Decodes the frames asked for, one after another, into one buffer: none is collected, none converted. */
export async function* decodeFrames(request: FrameRequest): AsyncGenerator<Frame, FramesEnd> {
  const shape = frameShape(request);
  const buffer = frameBuffer(shape, request.buffers);
  const times = planTimes(request.startSeconds ?? 0, request.select === undefined ? 'leaving' : 'decoded');
  const pairShape = pairShapeOf(request);
  const pair = pairShape && planLumaPair(pairShape.width * pairShape.height, pairShape.bitDepth);
  const stream = streamProgram({
    program: request.program,
    media: request.media,
    args: frameArguments(request),
    wallMs: request.wallMs,
    memoryKiB: mostMemoryKiB,
    stdoutBytes: Number.MAX_SAFE_INTEGER,
    stderrBytes: 65_536,
    onStderr: times.read,
    ...(pair === undefined ? {} : { onAside: pair.take }),
    ...(request.signal === undefined ? {} : { signal: request.signal }),
  });
  let filled = 0;
  try {
    for (;;) {
      const next = await stream.next();
      if (next.done === true) {
        for (const picture of pair?.pictures() ?? []) {
          const atSeconds = await times.next('aside');
          if (atSeconds !== undefined) yield { ...pairShape!, ...noChroma, ...picture, atSeconds };
        }
        return { ...next.value, ...times.tally() };
      }
      for (let from = 0; from < next.value.length;) {
        const take = Math.min(buffer.bytes.length - filled, next.value.length - from);
        buffer.bytes.set(next.value.subarray(from, from + take), filled);
        filled += take;
        from += take;
        if (filled < buffer.bytes.length) continue;
        filled = 0;
        const atSeconds = await times.next('leaving');
        if (atSeconds !== undefined) yield { ...shape, ...buffer.planes, atSeconds };
      }
    }
  } finally {
    // A consumer that stops early must end ffmpeg too; after its own end this does nothing.
    await stream.return(undefined as never);
    pair?.release();
  }
}

const noChroma = { cb: new Uint8Array(), cr: new Uint8Array() };

function pairShapeOf({ geometry, pairShrunkBy }: FrameRequest): FrameShape | undefined {
  return pairShrunkBy === undefined ? undefined : frameShape({ geometry, lumaShrunkBy: pairShrunkBy });
}

type FrameShape = Omit<Frame, 'luma' | 'cb' | 'cr' | 'atSeconds' | 'keep'>;

function frameShape({
  geometry,
  rowStep = 1,
  lumaShrunkBy,
}: Pick<FrameRequest, 'geometry' | 'rowStep' | 'lumaShrunkBy'>): FrameShape {
  if (lumaShrunkBy === undefined) return { ...geometry, height: geometry.height / rowStep, rowStep };
  const shrunk = (side: number): number => Math.floor(side / lumaShrunkBy);
  return { ...geometry, width: shrunk(geometry.width), height: shrunk(geometry.height), lumaShrunkBy };
}

function frameArguments(request: FrameRequest): string[] {
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

function frameBuffer(
  { width, height, bitDepth, lumaShrunkBy }: FrameShape,
  buffers: Map<number, ArrayBuffer> | undefined,
): {
  readonly bytes: Uint8Array;
  readonly planes: Pick<Frame, 'luma' | 'cb' | 'cr'>;
} {
  const lumaLength = width * height;
  const chromaLength = lumaShrunkBy === undefined ? Math.ceil(width / 2) * Math.ceil(height / 2) : 0;
  const length = lumaLength + 2 * chromaLength;
  const byteLength = bitDepth > 8 ? 2 * length : length;
  const memory = buffers?.get(byteLength) ?? borrowMemory(byteLength);
  buffers?.set(byteLength, memory);
  const codes = bitDepth > 8 ? new Uint16Array(memory) : new Uint8Array(memory);
  return {
    bytes: new Uint8Array(memory),
    planes: {
      luma: codes.subarray(0, lumaLength),
      cb: codes.subarray(lumaLength, lumaLength + chromaLength),
      cr: codes.subarray(lumaLength + chromaLength),
    },
  };
}
