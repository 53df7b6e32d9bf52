import { halfSettingStepStops } from '../domain/exposure.ts';
import { groupedBy } from '../domain/grouping.ts';
import type { Recording } from '../domain/recording.ts';
import { stillStops, type Burst, type StillSequence } from '../domain/sequence.ts';
import { bracketsIn } from './brackets.ts';
import { compareText } from './fileNames.ts';
import { fileNumbersOf, type FileNumbers } from './fileNumbers.ts';
import { intervalSeriesIn } from './intervalSeries.ts';
import { mappingFlightsIn } from './mappingFlights.ts';
import { panoramasIn } from './panoramas.ts';
import { clockTime, type TimedStill } from './recordedTime.ts';

/**
 * Groups stills by what was done: brackets, mapping flights, panoramas, bursts and time-lapses, in the order of time. The
 * order of the recordings makes no difference; stills without a recorded time, and composites, which are pictures of
 * their own, stay out. What nothing tells stays loose.
 *
 * @param isTimeLapse whether the notes say that a still belongs to a time-lapse
 */
export function groupSequences(
  recordings: readonly Recording[],
  isTimeLapse: (recording: Recording) => boolean = () => false,
): readonly StillSequence[] {
  const stills = recordings.flatMap((recording): readonly TimedStill[] => {
    const time = clockTime(recording);
    return recording.kind === 'still' && time && !recording.facts.composite ? [{ recording, ...time }] : [];
  });
  const numbers = fileNumbersOf(recordings);
  const start = ({ members }: StillSequence) => clockTime(members[0]!)!.atSeconds;
  return [...groupedBy(stills, likeness).values()]
    .flatMap((alike) => sequencesIn(alike.toSorted(byTime), numbers, isTimeLapse))
    .sort((a, b) => start(a) - start(b));
}

/** By camera, file type and shape: a raw picture beside its JPEG is no second frame. */
function likeness({ recording }: TimedStill): string {
  const { camera, codec, width, height } = recording.facts;
  return [camera, codec, width, height].map((fact) => fact?.value ?? '').join('\0');
}

function byTime(a: TimedStill, b: TimedStill): number {
  return a.atSeconds - b.atSeconds || compareText(a.recording.path, b.recording.path);
}

/** What the notes say first; then what can least be taken for something else. Each takes its stills from the next. */
function sequencesIn(
  stills: readonly TimedStill[],
  numbers: FileNumbers,
  isTimeLapse: (recording: Recording) => boolean,
): readonly StillSequence[] {
  const skipped = (from: TimedStill, to: TimedStill) =>
    numbers.skippedBetween(from.recording.path, to.recording.path);
  const noted = stills.filter(({ recording }) => isTimeLapse(recording));
  const steps: readonly ((left: readonly TimedStill[]) => readonly StillSequence[])[] = [
    (left) =>
      intervalSeriesIn(
        left.filter((still) => noted.includes(still)),
        true,
        skipped,
      ),
    (left) => bracketsIn(left).map((bracket) => bracketOf(bracket, numbers)),
    mappingFlightsIn,
    panoramasIn,
    (left) => intervalSeriesIn(left, false, skipped),
    burstsIn,
  ];
  const sequences: StillSequence[] = [];
  const taken = new Set<Recording>();
  for (const step of steps) {
    const more = step(stills.filter(({ recording }) => !taken.has(recording)));
    for (const recording of more.flatMap(({ members }) => members)) taken.add(recording);
    sequences.push(...more);
  }
  return sequences;
}

function bracketOf(bracket: readonly TimedStill[], numbers: FileNumbers): StillSequence {
  const members = bracket.map(({ recording }) => recording);
  const skippedNumbers = numbers.skippedNear(members.map(({ path }) => path));
  return { kind: 'bracket', members, ...(skippedNumbers && { skippedNumbers }) };
}

const fewestInBurst = 3;
/** Slower is a finger on the button; common practice, no source. */
const longestBurstGapSeconds = 0.7;

/** Pictures at one exposure as fast as the camera takes them. */
function burstsIn(stills: readonly TimedStill[]): readonly Burst[] {
  const runs: TimedStill[][] = [];
  for (const still of stills) {
    const run = runs.at(-1);
    if (run && isSameBurst(run.at(-1)!, still)) run.push(still);
    else runs.push([still]);
  }
  return runs.flatMap((run) => {
    const lasted = run.at(-1)!.atSeconds - run[0]!.atSeconds;
    // Clocks of whole seconds call the first and the last moment of a second the same.
    const seconds = Math.max(lasted, run[0]!.resolutionSeconds);
    const picturesPerSecond = (run.length - 1) / seconds;
    if (run.length < fewestInBurst || picturesPerSecond < 1 / longestBurstGapSeconds) return [];
    return { kind: 'burst' as const, members: run.map(({ recording }) => recording), picturesPerSecond };
  });
}

function isSameBurst(still: TimedStill, next: TimedStill): boolean {
  const gap = next.atSeconds - still.atSeconds;
  const [a, b] = [stillStops(still.recording.facts), stillStops(next.recording.facts)];
  const alike = a !== undefined && b !== undefined && Math.abs(a - b) < 2 * halfSettingStepStops;
  return alike && gap <= Math.max(longestBurstGapSeconds, still.resolutionSeconds);
}
