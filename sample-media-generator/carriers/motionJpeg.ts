import { readFile } from 'node:fs/promises';
import { runFfmpeg } from '../encode.ts';
import {
  EXACT,
  FRAMES_PER_SECOND,
  exposureOf,
  frameSteps,
  withHelperFile,
  CLIP_SECONDS,
  type Step,
} from './baseClip.ts';
import { exifBlock, exifSegment, withSegments } from './exifBlock.ts';
import type { CarrierMaker } from './truth.ts';

const PICTURE = `testsrc2=size=160x90:rate=${FRAMES_PER_SECOND}:duration=${CLIP_SECONDS}`;

/** The frames of a stream of JPEG pictures; 0xFFD8 stands nowhere else, for coded data has no bare markers. */
function splitPictures(stream: Buffer): readonly Buffer[] {
  const starts: number[] = [];
  const startOfImage = Buffer.from([0xff, 0xd8, 0xff]);
  for (let at = stream.indexOf(startOfImage); at >= 0; at = stream.indexOf(startOfImage, at + 2))
    starts.push(at);
  return starts.map((start, index) => stream.subarray(start, starts[index + 1] ?? stream.length));
}

function tagged(picture: Buffer, { denominator, fNumber, iso }: Step): Buffer {
  const facts = { exposure: [1, denominator] as const, fNumber, iso, recordedAt: '2025:05:06 07:08:09' };
  return withSegments(picture, exifSegment(exifBlock(facts)));
}

async function taggedStream(ffmpeg: string, scratch: string): Promise<Buffer> {
  await runFfmpeg(ffmpeg, [
    '-f',
    'lavfi',
    '-i',
    PICTURE,
    ...EXACT,
    '-c:v',
    'mjpeg',
    '-f',
    'mjpeg',
    `file:${scratch}`,
  ]);
  const pictures = splitPictures(await readFile(scratch));
  if (pictures.length !== frameSteps.length)
    throw new Error(`expected 48 pictures: there were ${pictures.length}`);
  return Buffer.concat(pictures.map((picture, index) => tagged(picture, frameSteps[index]!)));
}

function motionJpegClip(file: string): CarrierMaker {
  return {
    file,
    make: async (path, ffmpeg) => {
      const scratch = `${path}.pictures`;
      await withHelperFile(scratch, '', async () => {
        const stream = await taggedStream(ffmpeg, scratch);
        await withHelperFile(`${path}.tagged`, stream, (helper) =>
          runFfmpeg(ffmpeg, [
            '-f',
            'mjpeg',
            '-framerate',
            String(FRAMES_PER_SECOND),
            '-i',
            `file:${helper}`,
            '-c',
            'copy',
            '-map_metadata',
            '-1',
            '-fflags',
            '+bitexact',
            `file:${path}`,
          ]),
        );
      });
      const what = 'motion JPEG with an Exif block in every frame';
      const samples = frameSteps.map(exposureOf);
      return { carrier: 'motion-jpeg-exif', what, frames: frameSteps.length, clip: {}, samples };
    },
  };
}

export const motionJpegClips = ['MJPG0001.AVI', 'MJPG0002.MOV', 'MJPG0003.MKV'].map(motionJpegClip);
