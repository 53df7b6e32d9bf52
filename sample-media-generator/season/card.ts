import { mkdir, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { ExifTool } from 'exiftool-vendored';
import { findFfmpeg } from '../encode.ts';
import { makeRecording } from './media.ts';
import type { FlightTruth } from './truth.ts';

/** As many encoders at once as the smallest machine that this should be quick on has cores. */
const ENCODERS = 2;

/** Makes <season>/<flight>/DCIM, as a memory card holds it after the flight. */
export async function makeCard(season: string, flight: FlightTruth): Promise<void> {
  const card = join(season, flight.folder);
  const scratch = join(season, 'scratch');
  await mkdir(join(card, 'DCIM', '100_AERO'), { recursive: true });
  await mkdir(scratch);
  const ffmpeg = await findFfmpeg();
  const exiftool = new ExifTool({ maxProcs: 1 });
  const jobs = [...flight.recordings];
  const work = async () => {
    for (let one = jobs.shift(); one !== undefined; one = jobs.shift())
      await makeRecording(one, { ffmpeg, exiftool, card, scratch });
  };
  try {
    await Promise.all(Array.from({ length: ENCODERS }, work));
  } finally {
    await exiftool.end();
  }
  await rm(scratch, { recursive: true });
}
