import { streamProgram, type ProgramEnd } from '../../programs/run.ts';
import { frameShape, type Frame, type FrameRequest, type FrameShape } from './frame.ts';
import { feederArguments, frameArguments, type FrameWay } from './frameArguments.ts';

/** Address space of one decoder: 8K pictures of 10 bits fit, a crafted header that asks for more does not. */
const mostMemoryKiB = 2_000_000;

/** How decoding ended, and how much was decoded to get there. */
export interface FramesEnd extends ProgramEnd {
  readonly framesDecoded: number;
  /** Presentation time of the last frame decoded, whether it was asked for or not. */
  readonly lastDecodedSeconds?: number;
  /** The last thing that ffmpeg complained of, made fit to print. */
  readonly complaint?: string;
}

/** Decodes the frames asked for, one after another, into one buffer: none is collected, none converted. */
export async function* decodeFrames(request: FrameRequest): AsyncGenerator<Frame, FramesEnd> {
  const shape = frameShape(request);
  const buffer = frameBuffer(shape);
  const times = planTimes(request.startSeconds ?? 0, request.select === undefined ? 'leaving' : 'decoded');
  const { program, media, geometry, wallMs, signal, pairShrunkBy } = request;
  const pairShape = pairShrunkBy && frameShape({ geometry, lumaShrunkBy: pairShrunkBy });
  const pair = pairShape ? planLumaPair(pairShape) : undefined;
  const feeder = await feederArguments(request);
  const stream = streamProgram({
    program,
    media,
    args: frameArguments(request),
    wallMs,
    memoryKiB: mostMemoryKiB,
    stdoutBytes: Number.MAX_SAFE_INTEGER,
    stderrBytes: 65_536,
    onStderr: times.read,
    onSecondOutput: pair?.take,
    feeder: feeder && { args: feeder, onStderr: times.readFeeder },
    signal,
  });
  let filled = 0;
  try {
    for (;;) {
      const next = await stream.next();
      if (next.done === true) {
        for (const luma of pair?.pictures() ?? []) {
          const atSeconds = await times.next('pair');
          if (pairShape && atSeconds !== undefined) yield { ...pairShape, ...noChroma, luma, atSeconds };
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
  }
}

const noChroma = { cb: new Uint8Array(), cr: new Uint8Array() };

function frameBuffer({ width, height, bitDepth, lumaShrunkBy }: FrameShape): {
  readonly bytes: Uint8Array;
  readonly planes: Pick<Frame, 'luma' | 'cb' | 'cr'>;
} {
  const lumaLength = width * height;
  const chromaLength = lumaShrunkBy === undefined ? Math.ceil(width / 2) * Math.ceil(height / 2) : 0;
  const codes = codeArray(lumaLength + 2 * chromaLength, bitDepth);
  return {
    bytes: new Uint8Array(codes.buffer),
    planes: {
      luma: codes.subarray(0, lumaLength),
      cb: codes.subarray(lumaLength, lumaLength + chromaLength),
      cr: codes.subarray(lumaLength + chromaLength),
    },
  };
}

function codeArray(length: number, bitDepth: number): Uint8Array<ArrayBuffer> | Uint16Array<ArrayBuffer> {
  return bitDepth > 8 ? new Uint16Array(length) : new Uint8Array(length);
}

/** Two pictures of luma that arrive while others are read. */
function planLumaPair({ width, height, bitDepth }: FrameShape) {
  const length = width * height;
  const codes = codeArray(2 * length, bitDepth);
  const bytes = new Uint8Array(codes.buffer);
  let filled = 0;
  return {
    take: (chunk: Buffer): void => {
      const part = chunk.subarray(0, bytes.length - filled);
      bytes.set(part, filled);
      filled += part.length;
    },
    /** Those that arrived complete, in order. */
    pictures: (): readonly Frame['luma'][] =>
      [codes.subarray(0, length), codes.subarray(length)].slice(0, Math.floor((2 * filled) / bytes.length)),
  };
}

// Raw video carries no times. ffmpeg's showinfo filter says each frame's time on standard error, in the order in
// which the frames leave. All builds from 2018 on print it alike (tried: 2018, 5.1).
const showinfoLine = /^\[showinfo@(\w+) @ \w+\] n: *\d+ pts: *(-?\d+) /;

// Not of the clip: frames of a variable rate come closer together than the ticks of the raw video that ffmpeg writes.
const ownOutput = /^\[rawvideo @ /;
const complaint = /^Cannot determine|\b(error|invalid|corrupt|partial|truncat|missing|failed|prematurely)/i;
// Only that something went wrong before; from 7.0 on, one from each of ffmpeg's threads.
const afterword =
  /^(\[[^\]]*\] )?(Conversion failed!|Error marking filters as finished|Task finished with error|Terminating thread with)/;

/**
 * Collects the times of one run of ffmpeg. `startSeconds` is what they count from; `decoded` names the filter that
 * sees every decoded frame.
 */
export function planTimes(startSeconds: number, decoded: 'decoded' | 'leaving') {
  const queues = { leaving: [] as number[], pair: [] as number[] };
  let framesDecoded = 0;
  let lastDecodedSeconds: number | undefined;
  let lastComplaint: string | undefined;
  let ended = false;
  let wake: (() => void) | undefined;

  const readLine = (line: string): void => {
    const [, filter, ticks] = showinfoLine.exec(line) ?? [];
    if (filter === undefined) {
      if (complaint.test(line) && !ownOutput.test(line) && !afterword.test(line))
        lastComplaint = printable(line);
      return;
    }
    const seconds = startSeconds + Number(ticks) / 1_000_000;
    if (filter === 'leaving' || filter === 'pair') queues[filter].push(seconds);
    if (filter !== decoded) return;
    framesDecoded++;
    lastDecodedSeconds = seconds;
  };

  const lines = splitLines(readLine);
  return {
    /** Takes standard error as it comes. */
    read: (chunk: Buffer | undefined): void => {
      if (chunk === undefined) ended = true;
      lines(chunk);
      wake?.();
    },
    /** Takes that of a feeder, which has complaints but no times. */
    readFeeder: splitLines(readLine),
    /** The time of the next frame that leaves this way; undefined where ffmpeg ended without saying it. */
    next: async (way: FrameWay): Promise<number | undefined> => {
      while (queues[way].length === 0 && !ended)
        await new Promise<void>((resolve) => {
          wake = resolve;
        });
      return queues[way].shift();
    },
    tally: () => ({ framesDecoded, lastDecodedSeconds, complaint: lastComplaint }),
  };
}

/** Takes text as it comes, and its end as undefined. */
function splitLines(take: (line: string) => void): (chunk: Buffer | undefined) => void {
  let partialLine = '';
  return (chunk) => {
    const lines = (partialLine + (chunk?.toString('latin1') ?? '\n')).split('\n');
    partialLine = lines.pop()!.slice(-4096);
    lines.forEach(take);
  };
}

function printable(line: string): string {
  return line
    .replace(/^\[[^\]]*\] */, '')
    .replace(/file:\S+: */g, '')
    .replace(/[^ -~]/g, '?')
    .slice(0, 160);
}

/** A clip that is open for decoding. */
export interface ClipDecoding extends Pick<FrameRequest, 'program' | 'media' | 'geometry' | 'signal'> {
  readonly framesPerSecond: number;
  /** Frames of a clip by its own index, where that is known. */
  readonly frameCount?: number;
}

export const seekWallMs = 60_000;
/** Rows that are enough for shares of a picture: of more, every second or fourth is looked at. */
const enoughRows = 540;

/** The largest step that leaves enough rows, and an even number of them for the chroma planes. */
export function rowStepFor({ geometry: { height } }: ClipDecoding): number {
  let step = 1;
  while (height / (2 * step) >= enoughRows && height % (4 * step) === 0) step *= 2;
  return step;
}

/** One frame at or before a place, and those that follow it up to `maxFrames`. For looking again where it matters. */
export async function* decodeAt(
  clip: ClipDecoding,
  place: { readonly startSeconds: number; readonly maxFrames: number; readonly select?: string },
): AsyncGenerator<Frame, FramesEnd> {
  const frames = { ...clip, ...place, wallMs: seekWallMs, rowStep: rowStepFor(clip) };
  const end = yield* decodeFrames({ ...frames, unprobed: true });
  return end.framesDecoded > 0 ? end : yield* decodeFrames(frames);
}
