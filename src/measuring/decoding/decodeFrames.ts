import type { Measurement } from '../../domain/measurement.ts';
import { streamProgram, type ProgramEnd } from '../../programs/run.ts';
import { frameShape, type Frame, type FrameRequest, type FrameShape } from './frame.ts';
import { frameArguments, type FrameWay } from './frameArguments.ts';

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

/**
 * Decodes the frames asked for, one after another, into one buffer: none is collected, none converted. Those of pairs come
 * among them as luma, in their own order, each in an array of its own.
 */
export async function* decodeFrames(request: FrameRequest): AsyncGenerator<Frame, FramesEnd> {
  const { program, media, geometry, wallMs, signal, startSeconds = 0, rowStep, pairs, fed } = request;
  const shape = frameShape(geometry, { rowStep });
  const buffer = frameBuffer(shape);
  const times = planTimes(
    // A jump to between two ticks of the file puts its first frame a hair before the start.
    fed?.secondsOf ?? ((ticks) => Math.max(0, startSeconds + ticks / 1_000_000)),
    request.select === undefined ? 'leaving' : 'decoded',
  );
  const pairShape = pairs && frameShape(geometry, { lumaShrunkBy: pairs.shrunkBy });
  const pairPictures = pairShape && collectLuma(pairShape);
  const stream = streamProgram({
    program,
    // Also where it is fed: a run that crashes or takes too long is told of by the file.
    media,
    input: fed?.input,
    args: frameArguments(request),
    wallMs,
    memoryKiB: mostMemoryKiB,
    stdoutBytes: Number.MAX_SAFE_INTEGER,
    stderrBytes: 65_536,
    onStderr: times.read,
    onSecondOutput: pairPictures?.take,
    signal,
  });
  async function* arrivedPairs(): AsyncGenerator<Frame> {
    for (let luma = pairPictures?.next(); luma !== undefined; luma = pairPictures?.next()) {
      const atSeconds = await times.next('pair');
      if (atSeconds !== undefined) yield { ...pairShape!, ...noChroma, luma, atSeconds };
    }
  }
  let filled = 0;
  try {
    for (;;) {
      const next = await stream.next();
      yield* arrivedPairs();
      if (next.done === true) return { ...next.value, ...times.tally() };
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

function frameBuffer({ width, height, bitDepth }: FrameShape): {
  readonly bytes: Uint8Array;
  readonly planes: Pick<Frame, 'luma' | 'cb' | 'cr'>;
} {
  const lumaLength = width * height;
  const chromaLength = Math.ceil(width / 2) * Math.ceil(height / 2);
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

/** Pictures of luma that arrive while others are read. */
function collectLuma({ width, height, bitDepth }: FrameShape) {
  const arrived: Frame['luma'][] = [];
  let codes = codeArray(width * height, bitDepth);
  let filled = 0;
  return {
    take: (chunk: Buffer): void => {
      for (let from = 0; from < chunk.length;) {
        const part = chunk.subarray(from, from + codes.byteLength - filled);
        new Uint8Array(codes.buffer).set(part, filled);
        filled += part.length;
        from += part.length;
        if (filled < codes.byteLength) continue;
        arrived.push(codes);
        codes = codeArray(width * height, bitDepth);
        filled = 0;
      }
    },
    /** The first that nobody has had; undefined where none has arrived whole. */
    next: (): Frame['luma'] | undefined => arrived.shift(),
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
 * Collects the times of one run of ffmpeg. `secondsOf` says what its ticks mean; `decoded` names the filter that sees
 * every decoded frame.
 */
export function planTimes(secondsOf: (ticks: number) => number | undefined, decoded: 'decoded' | 'leaving') {
  const queues = { leaving: [] as (number | undefined)[], pair: [] as (number | undefined)[] };
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
    const seconds = secondsOf(Number(ticks));
    if (filter === 'leaving' || filter === 'pair') queues[filter].push(seconds);
    if (filter !== decoded) return;
    framesDecoded++;
    lastDecodedSeconds = seconds ?? lastDecodedSeconds;
  };

  const lines = splitLines(readLine);
  return {
    /** Takes standard error as it comes. */
    read: (chunk: Buffer | undefined): void => {
      if (chunk === undefined) ended = true;
      lines(chunk);
      wake?.();
    },
    /** The time of the next frame that leaves this way; undefined where ffmpeg did not say it. */
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

/** Why pictures stopped coming. */
export function reasonFor(end: FramesEnd): Omit<NonNullable<Measurement['endedEarly']>, 'atSeconds'> {
  if (end.ended === 'time-out') return { reason: 'decoding took too long and was stopped' };
  if (end.ended === 'crash') return { reason: 'ffmpeg crashed' };
  if (end.complaint !== undefined)
    return { reason: 'what follows is damaged or missing', detail: `ffmpeg: ${end.complaint}` };
  return { reason: 'the pictures end before the clip does' };
}

/** Time enough to start and to decode a few pictures. */
export const jumpWallMs = 60_000;
/** Rows that are enough for shares of a picture: of more, every second or fourth is looked at. */
const enoughRows = 540;

/** The largest step that leaves enough rows, and an even number of them for the chroma planes. */
export function rowStepFor({ height }: FrameRequest['geometry'], leastRows = enoughRows): number {
  let step = 1;
  while (height / (2 * step) >= leastRows && height % (4 * step) === 0) step *= 2;
  return step;
}
