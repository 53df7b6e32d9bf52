import type { Recording } from '../domain/recording.ts';
import type { StillSequence } from '../domain/sequence.ts';
import { bracketsIn } from './brackets.ts';
import { clockTime, type ClockTime } from './clockTime.ts';
import { compareText } from './compareText.ts';
import { intervalSeriesIn } from './intervalSeries.ts';

export interface TimedStill extends ClockTime {
  readonly recording: Recording;
}

/**
 * Groups stills into brackets and interval series, in the order of time. The order of the recordings makes no
 * difference; stills without a recorded time, and composites, which are pictures of their own, stay out.
 */
export function groupSequences(recordings: readonly Recording[]): readonly StillSequence[] {
  const stills = recordings.flatMap((recording): readonly TimedStill[] => {
    const time = clockTime(recording);
    return recording.kind === 'still' && time && !recording.facts.composite ? [{ recording, ...time }] : [];
  });
  const sequences = [...alikeStills(stills).values()].flatMap((alike) => {
    const ordered = alike.sort(byTime);
    const brackets = bracketsIn(ordered);
    const taken = new Set(brackets.flatMap(({ members }) => members));
    return [...brackets, ...intervalSeriesIn(ordered.filter(({ recording }) => !taken.has(recording)))];
  });
  const start = ({ members }: StillSequence) => clockTime(members[0]!)!.atSeconds;
  return sequences.sort((a, b) => start(a) - start(b));
}

/** By camera, file type and shape: a raw picture beside its JPEG is no second frame. */
function alikeStills(stills: readonly TimedStill[]): ReadonlyMap<string, TimedStill[]> {
  const groups = new Map<string, TimedStill[]>();
  for (const still of stills) {
    const { camera, codec, width, height } = still.recording.facts;
    const key = [camera, codec, width, height].map((fact) => fact?.value ?? '').join('\0');
    groups.set(key, [...(groups.get(key) ?? []), still]);
  }
  return groups;
}

function byTime(a: TimedStill, b: TimedStill): number {
  return a.atSeconds - b.atSeconds || compareText(a.recording.path, b.recording.path);
}
