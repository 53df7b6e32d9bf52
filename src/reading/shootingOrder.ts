import type { Recording } from '../domain/recording.ts';
import { areComparable, clockTime, type ClockTime } from './clockTime.ts';
import { comparePaths, folderOf } from './comparePaths.ts';
import { dcfName } from './dcfName.ts';

// Times decide where every recording has one and all are of one kind. A camera that writes local time into stills and
// UTC into clips, or whose clock was set on the way, gives times that cannot be compared: then the names decide, whose
// numbers only ever grow, until 9999 is followed by 0001.

/** The recordings as they were shot: by their times, or else by folder and file number, or else by path. */
export function shootingOrder(recordings: readonly Recording[]): Recording[] {
  const named = byFolder(recordings.toSorted((a, b) => comparePaths(a.path, b.path))).flatMap(inNumberOrder);
  const times = named.map(clockTime);
  if (!areComparable(times) || clockWasSet(named, times)) return named;
  const ranks = new Map(named.map((recording, at) => [recording, times[at]!.atSeconds]));
  // Sorting keeps the order of the names within one second.
  return named.toSorted((a, b) => ranks.get(a)! - ranks.get(b)!);
}

function byFolder(sorted: readonly Recording[]): readonly Recording[][] {
  const folders = new Map<string, Recording[]>();
  for (const recording of sorted) {
    const known = folders.get(folderOf(recording.path));
    if (known === undefined) folders.set(folderOf(recording.path), [recording]);
    else known.push(recording);
  }
  return [...folders.values()];
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
const toleratedSeconds = 60;

/** Whether the times run backwards where the numbers of one series of names go up. */
function clockWasSet(named: readonly Recording[], times: readonly ClockTime[]): boolean {
  const latest = new Map<string, number>();
  return named.some((recording, at) => {
    const name = dcfName(recording.path);
    if (name === undefined) return false;
    const series = `${name.folder}/${name.prefix} ${recording.kind}`;
    const before = latest.get(series) ?? -Infinity;
    latest.set(series, Math.max(before, times[at]!.atSeconds));
    return times[at]!.atSeconds < before - toleratedSeconds;
  });
}
