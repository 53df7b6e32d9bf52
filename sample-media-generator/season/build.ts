import { mkdir, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { ExifTool } from 'exiftool-vendored';
import { findFfmpeg } from '../encode.ts';
import { makeRecording } from './media.ts';
import { COMING, FLIGHTS } from './plan.ts';
import { recordingsOf, type SeasonRecording } from './recordings.ts';
import { comingScene, MISLABELLED, TRUE_STOPS } from './world.ts';

/** As many encoders at once as the smallest machine that this should be quick on has cores. */
const ENCODERS = 2;

/** Makes <folder>/<flight>/DCIM for each flight, as a memory card holds it, and <folder>/truth.json. */
export async function buildSeason(folder: string): Promise<SeasonTruth> {
  const ffmpeg = await findFfmpeg();
  const exiftool = new ExifTool({ maxProcs: 1 });
  const scratch = join(folder, 'scratch');
  await mkdir(scratch, { recursive: true });
  const truth = seasonTruth();
  const jobs: (() => Promise<void>)[] = [];
  for (const flight of truth.flights) {
    const card = join(folder, flight.folder);
    await mkdir(join(card, 'DCIM', '100_AERO'), { recursive: true });
    for (const one of flight.recordings)
      jobs.push(() => makeRecording(one, { ffmpeg, exiftool, card, scratch }));
  }
  try {
    await Promise.all(Array.from({ length: ENCODERS }, () => work(jobs)));
  } finally {
    await exiftool.end();
  }
  await rm(scratch, { recursive: true });
  await writeFile(join(folder, 'truth.json'), `${JSON.stringify(truth, undefined, 2)}\n`);
  return truth;
}

async function work(jobs: (() => Promise<void>)[]): Promise<void> {
  for (let job = jobs.shift(); job !== undefined; job = jobs.shift()) await job();
}

export interface SeasonTruth {
  readonly trueStops: typeof TRUE_STOPS;
  readonly mislabelled: typeof MISLABELLED;
  readonly flights: readonly FlightTruth[];
  readonly coming: readonly ComingTruth[];
}

export type FlightTruth = (typeof FLIGHTS)[number] & {
  readonly recordings: readonly SeasonRecording[];
  /** Files whose filter was not on the lens although the notes say so. */
  readonly forgotten: readonly string[];
};

type ComingTruth = (typeof COMING)[number] & ReturnType<typeof comingScene>;

function seasonTruth(): SeasonTruth {
  return {
    trueStops: TRUE_STOPS,
    mislabelled: MISLABELLED,
    flights: FLIGHTS.map((flight, at) => {
      const recordings = recordingsOf(flight, at + 1);
      const forgotten = recordings.filter(({ fitted, noted }) => fitted !== noted);
      return { ...flight, recordings, forgotten: forgotten.map(({ file }) => file) };
    }),
    coming: COMING.map((flight) => ({ ...flight, ...comingScene(flight) })),
  };
}
