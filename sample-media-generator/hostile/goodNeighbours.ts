import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { encodeTestClip } from '../carriers/baseClip.ts';
import { exifBlock, exifSegment, jpegSegment, withSegments } from '../carriers/exifBlock.ts';
import { box, boxesIn } from '../carriers/isoBoxes.ts';
import { exposureXmp, xmpUuidBox } from '../carriers/xmpCarriers.ts';
import { findFfmpeg, runFfmpeg } from '../encode.ts';
import type { HostileMaker, Materials } from './cases.ts';
import { fileCase } from './files.ts';

const RECORDED_AT = '2025:05:06 07:08:09';
const PICTURE = ['-f', 'lavfi', '-i', 'testsrc2=size=320x180', '-frames:v', '1', '-pix_fmt', 'yuvj420p'];

/** The recordings that every case is bent from, made with ffmpeg. */
export async function makeMaterials(): Promise<Materials> {
  const ffmpeg = await findFfmpeg();
  const scratch = await mkdtemp(join(tmpdir(), 'hostile-'));
  try {
    const [still, clip, matroska] = ['still.jpg', 'clip.mp4', 'clip.mkv'].map((name) => join(scratch, name));
    await runFfmpeg(ffmpeg, [...PICTURE, '-fflags', '+bitexact', '-flags:v', '+bitexact', `file:${still}`]);
    await encodeTestClip(ffmpeg, clip!);
    await encodeTestClip(ffmpeg, matroska!);
    const bareStill = await readFile(still!);
    return {
      bareStill,
      still: taggedStill(bareStill, 240),
      clip: await readFile(clip!),
      matroska: await readFile(matroska!),
    };
  } finally {
    await rm(scratch, { recursive: true });
  }
}

function taggedStill(bareStill: Buffer, denominator: number): Buffer {
  const facts = { exposure: [1, denominator] as const, fNumber: 2.8, iso: 100, recordedAt: RECORDED_AT };
  return withSegments(bareStill, exifSegment(exifBlock(facts)));
}

/** The same recordings with a remark inside, so that no two cases are copies of one another. */
export function remarked({ bareStill, still, clip, matroska }: Materials, remark: Uint8Array): Materials {
  const moov = boxesIn(clip).at(-1)!.start;
  return {
    bareStill: commented(bareStill, remark),
    still: commented(still, remark),
    clip: Buffer.concat([clip.subarray(0, moov), box('free', remark), clip.subarray(moov)]),
    matroska,
  };
}

/** A comment goes behind the Exif segment, if there is one: that comes first in a file. */
export function commented(jpeg: Buffer, remark: Uint8Array): Buffer {
  const at = jpeg[3] === 0xe1 ? 4 + jpeg.readUInt16BE(4) : 2;
  return Buffer.concat([jpeg.subarray(0, at), jpegSegment(0xfe, remark), jpeg.subarray(at)]);
}

const truth = (denominator: number) => ({ exposureSeconds: 1 / denominator, iso: 100, fNumber: 2.8 });

/** Two stills and a clip in good order, whose facts must come out unharmed whatever lies beside them. */
export const goodNeighbours: readonly HostileMaker[] = [
  {
    ...fileCase(
      { at: 'GOOD0001.JPG', what: 'a good still', kind: 'still', expect: 'audited' },
      ({ still }) => still,
    ),
    truth: truth(240),
  },
  {
    ...fileCase(
      { at: 'GOOD0002.JPG', what: 'another good still', kind: 'still', expect: 'audited' },
      (materials) => taggedStill(materials.bareStill, 500),
    ),
    truth: truth(500),
  },
  {
    ...fileCase({ at: 'GOOD0003.MP4', what: 'a good clip', kind: 'clip', expect: 'audited' }, ({ clip }) =>
      Buffer.concat([clip, xmpUuidBox(exposureXmp({ exposure: '1/240', fNumber: '28/10', iso: 100 }))]),
    ),
    truth: truth(240),
  },
];
