import type { FrameWay } from './frameArguments.ts';

// Raw video carries no times. ffmpeg's showinfo filter says each frame's time on standard error, in the order in
// which the frames leave. All builds from 2018 on print it alike (tried: 2018, 5.1).
const showinfoLine = /^\[showinfo@(\w+) @ \w+\] n: *\d+ pts: *(-?\d+) /;

// Not of the clip: frames of a variable rate come closer together than the ticks of the raw video that ffmpeg writes.
const ownOutput = /^\[rawvideo @ /;
const complaint = /^Cannot determine|\b(error|invalid|corrupt|partial|truncat|missing|failed|prematurely)/i;
// Only that something went wrong before; from 7.0 on, one from each of ffmpeg's threads.
const afterword =
  /^(\[[^\]]*\] )?(Conversion failed!|Error marking filters as finished|Task finished with error|Terminating thread with)/;

export interface DecodeTally {
  readonly framesDecoded: number;
  /** Presentation time of the last frame decoded, whether it was asked for or not. */
  readonly lastDecodedSeconds?: number;
  /** The last thing that ffmpeg complained of, made fit to print. */
  readonly complaint?: string;
}

export interface FrameTimes {
  /** Takes standard error as it comes. */
  readonly read: (chunk: Buffer | undefined) => void;
  /** Takes that of a feeder, which has complaints but no times. */
  readonly readFeeder: (chunk: Buffer) => void;
  /** The time of the next frame that leaves one way; undefined where ffmpeg ended without saying it. */
  readonly next: (way: FrameWay) => Promise<number | undefined>;
  readonly tally: () => DecodeTally;
}

/**
 * Collects the times of one run of ffmpeg. `startSeconds` is what they count from; `decoded` names the filter that
 * sees every decoded frame.
 */
export function planTimes(startSeconds: number, decoded: 'decoded' | 'leaving'): FrameTimes {
  const queues = { leaving: [] as number[], aside: [] as number[] };
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
    if (filter === 'leaving' || filter === 'aside') queues[filter].push(seconds);
    if (filter !== decoded) return;
    framesDecoded++;
    lastDecodedSeconds = seconds;
  };

  const lines = splitLines(readLine);
  return {
    read: (chunk) => {
      if (chunk === undefined) ended = true;
      lines(chunk);
      wake?.();
    },
    readFeeder: splitLines(readLine),
    next: async (way) => {
      while (queues[way].length === 0 && !ended)
        await new Promise<void>((resolve) => {
          wake = resolve;
        });
      return queues[way].shift();
    },
    tally: () => ({
      framesDecoded,
      lastDecodedSeconds,
      complaint: lastComplaint,
    }),
  };
}

/** Takes text as it comes, and its end as undefined. */
function splitLines(take: (line: string) => void): (chunk: Buffer | undefined) => void {
  let rest = '';
  return (chunk) => {
    const lines = (rest + (chunk?.toString('latin1') ?? '\n')).split('\n');
    rest = lines.pop()!.slice(-4096);
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
