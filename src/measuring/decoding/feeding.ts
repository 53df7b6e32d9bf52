import { read } from 'node:fs';
import { promisify } from 'node:util';
import type { PictureTable } from '../../containers/mp4Pictures.ts';
import type { OpenMedia } from '../../programs/openMedia.ts';
import { decodeFrames, jumpWallMs, reasonFor, rowStepFor, type FramesEnd } from './decodeFrames.ts';
import { cutBefore, fragmentsHead, fragmentStart, hevcLengthBytes } from './fragments.ts';
import { jumpToPictures } from './jumps.ts';
import type { ClipDecoding, EndedEarly, Look, LookedAt, PictureReader, Pictures, Run } from './look.ts';
import { earlySeconds, isPairStep, type SamplingPlan } from './sampling.ts';

// One ffmpeg a look. It opens no file: it is handed the pictures that are wanted and those that they refer to, in the
// order of the file, and says of each which one it is.

/** What a picture is wanted for. */
interface Purpose {
  isSample?: boolean;
  opensPair?: boolean;
  closesPair?: boolean;
  run?: Run;
}

/** By the place of a picture in the table. */
type Wanted = Map<number, Purpose>;

/** Gaps between key frames that are long for the steps, or for anyone who looks for what changes, ask for more. */
const longGapSteps = 1.5;
const longGapSeconds = 1.5;

/** Looks at pictures by the table of the file. */
export function feedPictures(clip: ClipDecoding, table: PictureTable): PictureReader {
  const places = placesIn(table, clip.media.sizeBytes);
  /** What was asked for as a sample, and whether it came. */
  const samples = new Map<number, boolean>();
  const pairs = new Set<number>();
  let plain: PictureReader | undefined;

  async function* look(request: Look): Pictures {
    if (plain !== undefined) return yield* plain.look(request);
    const wanted = wantedBy(request, places, { samples, pairs });
    if (wanted.size === 0) return endedEarly(undefined);
    const feeding = planFeeding(table, places, wanted);
    const frames = decodeFrames({
      ...clip,
      fed: { input: feeding.input(clip.media), secondsOf: feeding.secondsOf },
      select: `mod(pts,${2 * sampleTicks})`,
      rowStep: rowStepFor(clip.geometry, clip.enoughRows),
      pairs:
        request.pairShrunkBy === undefined
          ? undefined
          : { shrunkBy: request.pairShrunkBy, select: `gte(mod(pts,${2 * pairTicks}),${pairTicks})` },
      wallMs: feeding.wallMs,
    });
    let count = 0;
    try {
      for (;;) {
        const next = await frames.next();
        if (next.done === true) {
          if (count > 0) return endedEarly(next.value);
          // The table may be at fault.
          if (![...samples.values()].includes(true)) plain = jumpToPictures(clip);
          return plain === undefined ? endedEarly(next.value) : yield* plain.look(request);
        }
        count++;
        const picture = feeding.pictureAt(next.value.atSeconds)!;
        if (samples.has(picture)) samples.set(picture, true);
        yield lookedAt(next.value, wanted.get(picture)!);
      }
    } finally {
      await frames.return(undefined as never);
    }
  }

  /** A damaged picture costs itself: the clip ends early where its file does, or where nothing more came. */
  function endedEarly(end: FramesEnd | undefined): EndedEarly {
    const inOrder = [...samples].sort(([a], [b]) => table.shownSeconds[a]! - table.shownSeconds[b]!);
    const last = inOrder.findLastIndex(([, came]) => came);
    const lastSeconds = last < 0 ? 0 : table.shownSeconds[inOrder[last]![0]]!;
    const cutOff = { reason: 'what follows is damaged or missing' };
    if (places.cutOffSeconds !== undefined)
      return { atSeconds: Math.max(lastSeconds, places.cutOffSeconds), ...cutOff };
    const missing = inOrder.length - 1 - last;
    const isOver = end !== undefined && (missing > 1 || (missing === 1 && end.ended !== 'exit'));
    return isOver ? { atSeconds: lastSeconds, ...reasonFor(end) } : undefined;
  }

  const isQuick = (plan: SamplingPlan): boolean => {
    const keys = places.shown.filter((picture) => table.isKey[picture] === 1);
    const seconds = [...keys.map((key) => table.shownSeconds[key]!), table.endSeconds];
    const longest = Math.max(longGapSeconds, longGapSteps * plan.stepSeconds);
    return keys.length > 0 && seconds.every((at, i) => at - (seconds[i - 1] ?? 0) <= longest);
  };
  return { look, isQuick, endSeconds: table.endSeconds };
}

/** Pairs come as luma, beside the samples. */
function lookedAt(frame: LookedAt['frame'], purpose: Purpose): LookedAt {
  const { isSample = false, opensPair = false, closesPair = false, run } = purpose;
  return frame.lumaShrunkBy === undefined
    ? { frame, isSample, opensPair: false, closesPair: false, run }
    : { frame, isSample: false, opensPair, closesPair };
}

/** The pictures that can be looked at. */
interface Places {
  readonly table: PictureTable;
  /** Places in the table, in the order in which the pictures are shown. */
  readonly shown: readonly number[];
  /** The last that the file holds, where it does not hold all. */
  readonly cutOffSeconds?: number;
}

function placesIn(table: PictureTable, fileBytes: number): Places {
  const { count, offsets, sizesBytes, shownSeconds, endSeconds } = table;
  const shown: number[] = [];
  let isWhole = true;
  for (let picture = 0; picture < count; picture++) {
    if (shownSeconds[picture]! < 0 || shownSeconds[picture]! >= endSeconds) continue;
    if (offsets[picture]! + sizesBytes[picture]! > fileBytes) isWhole = false;
    else if (sizesBytes[picture]! > 0) shown.push(picture);
  }
  shown.sort((a, b) => shownSeconds[a]! - shownSeconds[b]!);
  const last = shown.at(-1);
  return { table, shown, cutOffSeconds: isWhole ? undefined : last === undefined ? 0 : shownSeconds[last]! };
}

/** Where among the shown ones the first lies that is shown at a time or later. */
function firstFrom({ table, shown }: Places, seconds: number): number {
  let [low, high] = [0, shown.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (table.shownSeconds[shown[middle]!]! < seconds) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** The pictures shown from one time on and before another. */
function shownBetween(places: Places, fromSeconds: number, toSeconds: number): readonly number[] {
  return places.shown.slice(firstFrom(places, fromSeconds), firstFrom(places, toSeconds));
}

/** The key frame from which a picture can be decoded. */
function keyOf({ table }: Places, picture: number): number | undefined {
  const seconds = table.shownSeconds[picture]!;
  for (let at = picture; at >= 0; at--)
    // Pictures that are stored after a key frame and shown before it refer to what lies before that.
    if (table.isKey[at] === 1 && table.shownSeconds[at]! <= seconds) return at;
  return undefined;
}

interface Done {
  readonly samples: Map<number, boolean>;
  readonly pairs: Set<number>;
}

/** Puts what a look asks for in terms of pictures, but for what was looked at before, and takes note of it. */
function wantedBy(look: Look, places: Places, done: Done): Wanted {
  const { table, shown } = places;
  const wanted: Wanted = new Map();
  const want = (picture: number, purpose: Purpose): void => {
    wanted.set(picture, { ...wanted.get(picture), ...purpose });
  };
  const sample = (picture: number): void => {
    if (done.samples.has(picture)) return;
    want(picture, { isSample: true });
    done.samples.set(picture, false);
  };
  const pair = (picture: number): void => {
    const next = shown[firstFrom(places, table.shownSeconds[picture]!) + 1];
    if (next === undefined || look.pairShrunkBy === undefined) return;
    want(picture, { opensPair: true });
    want(next, { closesPair: true });
    done.pairs.add(picture);
  };
  const keyAmong = (pictures: readonly number[]): number | undefined =>
    pictures.find((picture) => table.isKey[picture] === 1);

  const { plan } = look;
  for (let step = 0; plan !== undefined && step < (plan.steps ?? 0); step++) {
    const pictures = shownBetween(
      places,
      step * plan.stepSeconds - earlySeconds,
      (step + 1) * plan.stepSeconds - earlySeconds,
    );
    const [first] = pictures;
    if (first === undefined) continue;
    const key = keyAmong(pictures);
    const picture = key ?? (look.keysOnly === true ? undefined : first);
    if (picture !== undefined && !pictures.some((each) => done.samples.has(each))) sample(picture);
    const opening = picture ?? keyOf(places, first);
    if (opening !== undefined && isPairStep(plan, step) && !pictures.some((each) => done.pairs.has(each)))
      pair(opening);
  }
  if (look.everyKey === true) for (const picture of shown) if (table.isKey[picture] === 1) sample(picture);
  for (const { fromSeconds, toSeconds, keysOnly } of look.stretches ?? []) {
    const pictures = shownBetween(places, fromSeconds, toSeconds);
    const picture = keyAmong(pictures) ?? (keysOnly === true ? undefined : pictures[0]);
    if (picture !== undefined) sample(picture);
  }
  for (const { atSeconds, pairs } of look.pairShrunkBy === undefined ? [] : (look.moments ?? [])) {
    const from = firstFrom(places, atSeconds - earlySeconds);
    shown.slice(from, from + pairs + 1).forEach((picture, i, { length }) => {
      want(picture, { ...(i + 1 < length && { opensPair: true }), ...(i > 0 && { closesPair: true }) });
    });
  }
  for (const run of look.runs ?? []) for (const picture of picturesOf(run, places)) want(picture, { run });
  return wanted;
}

function picturesOf(run: Run, places: Places): readonly number[] {
  const { table, shown } = places;
  const start = shown[firstFrom(places, run.startSeconds)];
  const key = run.fromKey === true && start !== undefined ? keyOf(places, start) : undefined;
  const fromSeconds = key === undefined ? run.startSeconds : table.shownSeconds[key]!;
  const pictures: number[] = [];
  let lastSeconds = -Infinity;
  for (const picture of shownBetween(places, fromSeconds, run.endSeconds)) {
    const seconds = table.shownSeconds[picture]!;
    if (seconds - lastSeconds < run.everySeconds - earlySeconds) continue;
    if (pictures.length === run.mostFrames) break;
    pictures.push(picture);
    lastSeconds = seconds;
  }
  return pictures;
}

const readAt = promisify(read);

// The time of a picture in the fragments is its number in the order of showing, and carries what it is wanted for.
const sampleTicks = 1;
const pairTicks = 2;
const pictureTicks = 4;

/** A slow machine decodes the heaviest pictures at two a second. */
const wallMsPerPicture = 500;

/** How to hand the wanted pictures to ffmpeg, with those that they refer to. */
function planFeeding(table: PictureTable, places: Places, wanted: Wanted) {
  const groups = groupsOf(places, wanted);
  const secondsOfTicks = new Map<number, number>();
  const pictureOfSeconds = new Map<number, number>();
  const lengthBytes = hevcLengthBytes(table);
  const isNeeded = (picture: number): boolean => {
    const { isSample, opensPair, closesPair, run } = wanted.get(picture) ?? {};
    const isInRun = run !== undefined && run.isEnough?.() !== true;
    return isSample === true || opensPair === true || closesPair === true || isInRun;
  };

  async function* fragments(media: OpenMedia): AsyncGenerator<Buffer> {
    yield fragmentsHead(table);
    let groupTicks = 0;
    for (const pictures of groups) {
      const ranks = new Map(
        pictures
          .toSorted((a, b) => table.shownSeconds[a]! - table.shownSeconds[b]!)
          .map((picture, rank) => [picture, rank]),
      );
      const ahead = pictures.filter((picture) => wanted.has(picture));
      for (const [at, picture] of pictures.entries()) {
        while (ahead.length > 0 && (ahead[0]! < picture || !isNeeded(ahead[0]!))) ahead.shift();
        if (ahead.length === 0) break;
        const bytes = Buffer.allocUnsafe(table.sizesBytes[picture]!);
        const bytesRead = await readAt(media.fd, bytes, 0, bytes.length, table.offsets[picture]!).then(
          (result) => result.bytesRead,
          () => 0,
        );
        // It was all there when the table was read: another time it may be again.
        if (bytesRead < bytes.length) media.transient = true;
        if (bytesRead < bytes.length) return;
        if (at === 0 && lengthBytes !== undefined) cutBefore(bytes, lengthBytes);
        const decodedTicks = groupTicks + at;
        const shownTicks =
          pictureTicks * (groupTicks + pictures.length + ranks.get(picture)!) + purposeTicks(wanted, picture);
        const seconds = table.shownSeconds[picture]!;
        // In a damaged table others are shown at the same time.
        if (wanted.has(picture)) {
          secondsOfTicks.set(shownTicks, seconds);
          pictureOfSeconds.set(seconds, picture);
        }
        yield fragmentStart(bytes.length, { decodedTicks, shownTicks, isKey: at === 0 });
        yield bytes;
      }
      groupTicks += 2 * pictures.length;
    }
  }
  const count = groups.reduce((sum, pictures) => sum + pictures.length, 0);
  return {
    input: fragments,
    secondsOf: (ticks: number) => secondsOfTicks.get(ticks),
    pictureAt: (seconds: number) => pictureOfSeconds.get(seconds),
    wallMs: jumpWallMs + count * wallMsPerPicture,
  };
}

function purposeTicks(wanted: Wanted, picture: number): number {
  const { isSample, run, opensPair, closesPair } = wanted.get(picture) ?? {};
  const ofPair = opensPair === true || closesPair === true;
  return (isSample === true || run !== undefined ? sampleTicks : 0) + (ofPair ? pairTicks : 0);
}

/** From a key frame to the last that is wanted of those that follow, in the order of decoding. */
function groupsOf(places: Places, wanted: Wanted): readonly (readonly number[])[] {
  const { table } = places;
  const lasts = new Map<number, number>();
  for (const picture of wanted.keys()) {
    const key = keyOf(places, picture);
    if (key !== undefined) lasts.set(key, Math.max(picture, lasts.get(key) ?? 0));
  }
  return [...lasts]
    .sort(([a], [b]) => a - b)
    .map(([key, last]) =>
      Array.from({ length: last - key + 1 }, (_, at) => key + at).filter(
        // Nobody refers to pictures that are shown before the key frame, but such pictures.
        (picture) => table.shownSeconds[picture]! >= table.shownSeconds[key]!,
      ),
    );
}
