import { framesPerSecond } from '../domain/frameRate.ts';
import type { FactName, Recording } from '../domain/recording.ts';
import { frameOfTimecode } from '../domain/timecode.ts';
import { areComparable, clockTime } from './clockTime.ts';
import { dcfName } from './dcfName.ts';

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
const toleratedSeconds = 3;

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
  return Math.abs(secondsBetween - durationSeconds) <= toleratedSeconds;
}

function framesBetween(first: Recording, next: Recording): number | undefined {
  const frameRate = first.facts.playbackFrameRate?.value;
  const [a, b] = [first.facts.startTimecode?.value, next.facts.startTimecode?.value];
  if (frameRate === undefined || a === undefined || b === undefined) return undefined;
  const [from, to] = [a, b].map((timecode) => frameOfTimecode({ timecode, frameRate }));
  return from === undefined || to === undefined ? undefined : to - from;
}
