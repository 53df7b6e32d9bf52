import { copyFile, mkdir, readFile, rename, rm, writeFile } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { CLIPS, CLIP_WITH_PROXY, TRUNCATED_CLIP } from './clips.ts';
import { hireCrew, type Crew } from './crew.ts';
import { findFfmpeg } from './encode.ts';
import type { Carrier, ClipPlan, StillPlan } from './plan.ts';
import type { Rendered } from './renderClip.ts';
import { SEQUENCES, STILLS } from './stills.ts';
import { breakTruncatedClip, writeStrays } from './strays.ts';
import { subRip } from './subrip.ts';
import { openTagger, type Tagger } from './tag.ts';
import type { Outcome } from './task.ts';
import { cardTruth, clipTruth, GENERATOR_VERSION, sidecarPath, stillTruth } from './truth.ts';
import { xmpPacket } from './xmp.ts';

/** As many threads as the smallest machine that this should be quick on has cores; memory grows with each. */
const THREADS = 2;

interface Workshop {
  readonly card: string;
  /** Files that are needed on the way and do not belong on the card. */
  readonly scratch: string;
  readonly ffmpeg: string;
  readonly crew: Crew;
  readonly tagger: Tagger;
}

/** Version of the generator that made the card in a folder; undefined where there is no complete one. */
export async function versionOf(folder: string): Promise<number | undefined> {
  try {
    const truth = JSON.parse(await readFile(join(folder, 'truth.json'), 'utf8')) as {
      generatorVersion?: number;
    };
    return truth.generatorVersion;
  } catch {
    return undefined;
  }
}

export function isCurrent(version: number | undefined): boolean {
  return version === GENERATOR_VERSION;
}

/** Makes the card beside its final place and moves it there whole; an older card is replaced. */
export async function makeCard(folder: string): Promise<void> {
  const unfinished = join(dirname(folder), `.${basename(folder)}-unfinished-${process.pid}`);
  const card = join(unfinished, 'card');
  const scratch = join(unfinished, 'scratch');
  await mkdir(card, { recursive: true });
  await mkdir(scratch);
  const ffmpeg = await findFfmpeg();
  const crew = await hireCrew(THREADS, ffmpeg);
  const tagger = openTagger();
  try {
    const recordings = await fillCard({ card, scratch, ffmpeg, crew, tagger });
    await rm(scratch, { recursive: true });
    await copyFile(new URL('./flight.toml', import.meta.url), join(unfinished, 'flight.toml'));
    const truth = JSON.stringify(cardTruth(recordings, SEQUENCES), undefined, 2);
    await writeFile(join(unfinished, 'truth.json'), `${truth}\n`);
    await rm(folder, { recursive: true, force: true });
    await rename(unfinished, folder);
  } finally {
    await Promise.all([crew.end(), tagger.end()]);
    await rm(unfinished, { recursive: true, force: true });
  }
}

async function fillCard(workshop: Workshop) {
  const stills = [...STILLS, ...SEQUENCES.flatMap((sequence) => sequence.stills)];
  const files = [...CLIPS, ...stills].map(({ file }) => dirname(join(workshop.card, file)));
  await Promise.all([...new Set(files)].map((folder) => mkdir(folder, { recursive: true })));
  const clipsDone = [...CLIPS, TRUNCATED_CLIP]
    .toSorted((a, b) => workOf(b) - workOf(a))
    .map((plan) => makeClip(plan, workshop));
  const stillsDone = stills.map((plan) => makeStill(plan, workshop));
  const recordings = await Promise.all([...clipsDone, ...stillsDone]);
  return recordings.filter(({ path }) => path !== TRUNCATED_CLIP.file);
}

/** The costliest first, so that no thread is left alone with a long one at the end; first of all what others need. */
function workOf({ file, encoding, width, height, seconds, rate }: ClipPlan): number {
  const frames = seconds * Number.parseInt(rate) * (rate.includes('/') ? 1e-3 : 1);
  return file === CLIP_WITH_PROXY
    ? Infinity
    : width * height * frames * (encoding.startsWith('hevc') ? 4 : 1);
}

async function makeClip(plan: ClipPlan, workshop: Workshop) {
  const { card, scratch, crew, tagger } = workshop;
  const output = join(card, plan.file);
  const textTrack = await writeTextTrack(plan, scratch);
  const outcome = await crew.run({ clip: plan, output, textTrack });
  for (const carrier of plan.carriers) await writeCarrier(plan, carrier, workshop);
  if (plan.file === CLIP_WITH_PROXY) await writeStrays(card, workshop.ffmpeg, tagger);
  if (plan === TRUNCATED_CLIP) await breakTruncatedClip(card);
  return clipTruth(plan, countedIn<Rendered>(outcome));
}

async function writeTextTrack(plan: ClipPlan, scratch: string): Promise<string | undefined> {
  const carrier = plan.carriers.find((candidate) => candidate.in === 'text-track');
  if (carrier?.in !== 'text-track') return undefined;
  const file = join(scratch, `${basename(plan.file)}.srt`);
  await writeFile(file, subRip(plan, carrier));
  return file;
}

async function writeCarrier(
  plan: ClipPlan,
  carrier: Carrier,
  { card, scratch, tagger }: Workshop,
): Promise<void> {
  const sidecar = sidecarPath(plan, carrier);
  if (carrier.in === 'subrip-sidecar' && sidecar) {
    await writeFile(join(card, sidecar), subRip(plan, carrier, plan.contradiction));
  }
  if (carrier.in === 'xmp-sidecar' && sidecar) await writeFile(join(card, sidecar), xmpPacket(plan));
  if (carrier.in === 'xmp-embedded') {
    const packet = join(scratch, `${basename(plan.file)}.xmp`);
    await writeFile(packet, xmpPacket(plan));
    await tagger.embedXmp(join(card, plan.file), packet);
  }
}

async function makeStill(plan: StillPlan, { card, crew, tagger }: Workshop) {
  const output = join(card, plan.file);
  const outcome = await crew.run({ still: plan, output });
  await tagger.tagStill(plan, output);
  return stillTruth(plan, countedIn<{ clippedFraction: number; meanLight: number }>(outcome));
}

function countedIn<T extends object>(outcome: Outcome): T {
  if (outcome === undefined) throw new Error('a rendering task came back without its counts');
  return outcome as T;
}
