import { posix } from 'node:path';
import { framesPerSecond } from '../domain/frameRate.ts';
import { groupedBy } from '../domain/grouping.ts';
import type { Recording, FactName } from '../domain/recording.ts';
import { frameOfTimecode } from '../domain/timecode.ts';
import { areComparable, clockTime, type ClockTime } from './recordedTime.ts';
import { dcfName, comparePaths } from './fileNames.ts';

// Times decide where every recording has one and all are of one kind. A camera that writes local time into stills and
// UTC into clips, or whose clock was set on the way, gives times that cannot be compared: then the names decide, whose
// numbers only ever grow, until 9999 is followed by 0001.

/** The recordings as they were shot: by their times, or else by folder and file number, or else by path. */
export function shootingOrder(recordings: readonly Recording[]): Recording[] {
  const sorted = recordings.toSorted((a, b) => comparePaths(a.path, b.path));
  const folders = groupedBy(sorted, ({ path }) => posix.dirname(path));
  const named = [...folders.values()].flatMap(inNumberOrder);
  const times = named.map(clockTime);
  if (!areComparable(times) || clockWasSet(named, times)) return named;
  const ranks = new Map(named.map((recording, at) => [recording, times[at]!.atSeconds]));
  // Sorting keeps the order of the names within one second.
  return named.toSorted((a, b) => ranks.get(a)! - ranks.get(b)!);
}

// From 9999 to 0001 is one step; some numbers were deleted.
const nearEnd = 100;
const highest = 9999;

/** One folder's recordings by file number, the high ones first where the numbers passed 9999. */
function inNumberOrder(folder: readonly Recording[]): readonly Recording[] {
  const numbers = new Map(folder.map((recording) => [recording, dcfName(recording.path)?.fileNumber]));
  if ([...numbers.values()].includes(undefined)) return folder;
  const numberOf = (recording: Recording): number => numbers.get(recording)!;
  const sorted = folder.toSorted((a, b) => numberOf(a) - numberOf(b));
  const step = numberOf(sorted[0]!) + highest - numberOf(sorted.at(-1)!);
  const gaps = sorted.slice(1).map((recording, at) => numberOf(recording) - numberOf(sorted[at]!));
  const widest = gaps.indexOf(Math.max(...gaps));
  if (step > nearEnd || widest < 0 || gaps[widest]! <= step) return sorted;
  const [low, high] = [sorted.slice(0, widest + 1), sorted.slice(widest + 1)];
  return isEarlier(low[0]!, high.at(-1)!) ? sorted : [...high, ...low];
}

function isEarlier(a: Recording, b: Recording): boolean {
  const times = [clockTime(a), clockTime(b)];
  return areComparable(times) && times[0]!.atSeconds < times[1]!.atSeconds;
}

// A clip may carry the time at which its file was closed.
const mostBackwardsSeconds = 60;

/** Whether the times run backwards where the numbers of one series of names go up. */
function clockWasSet(named: readonly Recording[], times: readonly ClockTime[]): boolean {
  const latest = new Map<string, number>();
  return named.some((recording, at) => {
    const name = dcfName(recording.path);
    if (name === undefined) return false;
    const series = `${name.folder}/${name.prefix} ${recording.kind}`;
    const before = latest.get(series) ?? -Infinity;
    latest.set(series, Math.max(before, times[at]!.atSeconds));
    return times[at]!.atSeconds < before - mostBackwardsSeconds;
  });
}

// FAT32 ends a file one byte short of 4 GiB; cameras close it somewhat earlier, at a whole cluster or at 4 GB. How much
// earlier is common practice, no source.
const fourGibibytes = 2 ** 32;
const closedEarlier = 0.88;

const alike: readonly FactName[] = ['width', 'height', 'codec', 'bitDepth', 'playbackFrameRate', 'frameRate'];

/**
 * Says of each clip that goes on where another was cut at the size limit which one that is. `inOrder` are recordings
 * in shooting order; `limitBytes` is the largest file that the card can hold.
 */
export function joinedSplits(inOrder: readonly Recording[], limitBytes = fourGibibytes): Recording[] {
  const clips = inOrder.filter(({ kind }) => kind === 'clip');
  const before = new Map(clips.slice(1).map((clip, at) => [clip, clips[at]!]));
  return inOrder.map((recording) => {
    const previous = before.get(recording);
    return previous !== undefined && goesOn(previous, recording, limitBytes)
      ? { ...recording, continues: previous.path }
      : recording;
  });
}

function goesOn(first: Recording, next: Recording, limitBytes: number): boolean {
  return (
    first.sizeBytes <= limitBytes &&
    first.sizeBytes >= closedEarlier * limitBytes &&
    followsByName(first, next) &&
    alike.every(
      (name) => JSON.stringify(first.facts[name]?.value) === JSON.stringify(next.facts[name]?.value),
    ) &&
    startsAtTheEnd(first, next)
  );
}

function followsByName(first: Recording, next: Recording): boolean {
  const [a, b] = [dcfName(first.path), dcfName(next.path)];
  if (a === undefined || b === undefined || a.folder !== b.folder || a.prefix !== b.prefix) return false;
  const nextNumber = a.fileNumber === 9999 ? 1 : a.fileNumber + 1;
  return b.fileNumber === nextNumber && b.folderNumber - a.folderNumber <= 1;
}

// Times are written in whole seconds, at the opening or the closing of a file.
const mostApartSeconds = 3;

/** By the timecode, to the frame; without one, by the clock. Where neither is known, nothing is joined. */
function startsAtTheEnd(first: Recording, next: Recording): boolean {
  const durationSeconds = first.facts.durationSeconds?.value;
  if (durationSeconds === undefined) return false;
  const frames = framesBetween(first, next);
  const rate = first.facts.playbackFrameRate?.value;
  // Cameras without a running timecode begin every clip at the same one.
  if (frames !== undefined && frames !== 0 && rate !== undefined)
    return Math.abs(frames - durationSeconds * framesPerSecond(rate)) <= 2;
  const times = [clockTime(first), clockTime(next)];
  if (!areComparable(times)) return false;
  const secondsBetween = times[1]!.atSeconds - times[0]!.atSeconds;
  return Math.abs(secondsBetween - durationSeconds) <= mostApartSeconds;
}

function framesBetween(first: Recording, next: Recording): number | undefined {
  const frameRate = first.facts.playbackFrameRate?.value;
  const [a, b] = [first.facts.startTimecode?.value, next.facts.startTimecode?.value];
  if (frameRate === undefined || a === undefined || b === undefined) return undefined;
  const [from, to] = [a, b].map((timecode) => frameOfTimecode({ timecode, frameRate }));
  return from === undefined || to === undefined ? undefined : to - from;
}
