import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { findFfmpeg } from '../encode.ts';
import { cammClip } from './camm.ts';
import { cineClip } from './cine.ts';
import { keyedTelemetryClips } from './keyedTelemetry.ts';
import { mebxClips } from './mebx.ts';
import { keysClips } from './metadataKeys.ts';
import { motionJpegClips } from './motionJpeg.ts';
import { mxfClips } from './rdd18.ts';
import { textClips } from './textTracks.ts';
import { timingClips } from './timing.ts';
import { klvClip } from './transportStreamKlv.ts';
import type { CarrierMaker, CarrierTruth } from './truth.ts';
import { simpleTagsClip, xmpClips } from './xmpCarriers.ts';

const makers: readonly CarrierMaker[] = [
  cammClip,
  ...mebxClips,
  ...keyedTelemetryClips,
  ...motionJpegClips,
  ...mxfClips,
  ...textClips,
  klvClip,
  ...xmpClips,
  simpleTagsClip,
  ...keysClips,
  ...timingClips,
  cineClip,
];

/** Makes one small clip for each open carrier of exposure, place or rate, and `truth.json` beside them. */
export async function buildCarriers(folder: string): Promise<readonly CarrierTruth[]> {
  await mkdir(folder, { recursive: true });
  const ffmpeg = await findFfmpeg();
  const truths: readonly CarrierTruth[] = await Promise.all(
    makers.map(async ({ file, make }) => ({ file, ...(await make(join(folder, file), ffmpeg)) })),
  );
  await writeFile(join(folder, 'truth.json'), `${JSON.stringify(truths, undefined, 2)}\n`);
  return truths;
}
