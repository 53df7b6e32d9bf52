import { maxTextLength } from './telemetryPairs.ts';

/** One cue of a SubRip file. Seconds count from the start of the clip. */
interface Cue {
  readonly startSeconds: number;
  readonly endSeconds: number;
  readonly text: string;
}

/** Cues beyond this are not read: this is an hour with a cue for each of 28 frames a second. */
export const maxCues = 100_000;
// A cue of telemetry holds a dozen lines. Of more, the first and the last are kept: a text of 32 MB may be all line ends.
const maxCueLines = 200;
const maxLines = 2_000_000;
// A line that is longer than a cue may be is noticed as that.
const maxLineCharacters = maxTextLength + 1;
// "0:0:0-->0:0:1"
const shortestTimes = 13;
const times =
  /^\s{0,8}(\d{1,3}):(\d{1,2}):(\d{1,2})(?:[,.](\d{1,3}))?\s{0,4}-->\s{0,4}(\d{1,3}):(\d{1,2}):(\d{1,2})(?:[,.](\d{1,3}))?/;

/**
 * Reads SubRip text, which no standard fixes: a time line opens a cue, whatever stands above it, and the cue's text
 * runs to the next one. In the order of the file, each when it is asked for; no more than 100,000 cues.
 */
export function* parseSubRip(text: string): Generator<Cue> {
  let open: OpenCue | undefined;
  let count = 0;
  for (const line of linesOf(text)) {
    const match = line.length < shortestTimes ? null : times.exec(line);
    if (match === null) keep(open?.lines, line);
    else {
      if (open !== undefined) yield closed(open);
      if (count++ >= maxCues) return;
      open = { startSeconds: seconds(match, 1), endSeconds: seconds(match, 5), lines: [] };
    }
  }
  if (open !== undefined) yield closed(open);
}

interface OpenCue {
  readonly startSeconds: number;
  readonly endSeconds: number;
  readonly lines: string[];
}

function closed(cue: OpenCue): Cue {
  return { ...spanOf(cue), text: textOf(cue.lines) };
}

function keep(lines: string[] | undefined, line: string): void {
  if (lines !== undefined) lines[Math.min(lines.length, maxCueLines - 1)] = line;
}

function* linesOf(text: string): Generator<string> {
  const lineEnd = /\r\n|\r|\n/g;
  let from = text.startsWith('\uFEFF') ? 1 : 0;
  for (let count = 0; count < maxLines; count += 1) {
    const end = lineEnd.exec(text);
    yield text.slice(from, Math.min(end?.index ?? text.length, from + maxLineCharacters));
    if (end === null) return;
    from = lineEnd.lastIndex;
  }
}

function seconds(match: RegExpExecArray, at: number): number {
  const [hours, minutes, whole] = [match[at], match[at + 1], match[at + 2]].map(Number);
  // "5" after the comma is five tenths, not five thousandths.
  return (hours ?? 0) * 3600 + (minutes ?? 0) * 60 + (whole ?? 0) + Number(`0.${match[at + 3] ?? '0'}`);
}

function spanOf(cue: { readonly startSeconds: number; readonly endSeconds: number }): Omit<Cue, 'text'> {
  return { startSeconds: cue.startSeconds, endSeconds: Math.max(cue.startSeconds, cue.endSeconds) };
}

function textOf(lines: readonly string[]): string {
  // What stands above the next time line is its number, not a line of this cue.
  const kept = /^\s*\d+\s*$/.test(lines.at(-1) ?? '') ? lines.slice(0, -1) : lines;
  return kept.join('\n').trim();
}
