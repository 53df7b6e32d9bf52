import { rm, writeFile } from 'node:fs/promises';
import { runFfmpeg } from '../encode.ts';
import {
  EXACT,
  encodeTestClip,
  exposureOf,
  frameSteps,
  halfSeconds,
  withHelperFile,
  type Step,
} from './baseClip.ts';
import type { CarrierMaker } from './truth.ts';

function words({ denominator, iso, fNumber }: Step): string {
  return `Shutter 1/${denominator} s, ISO ${iso}, f/${fNumber}`;
}

function subRip(steps: readonly Step[]): string {
  return steps
    .map(
      (step, index) =>
        `${index + 1}\n${clock(step.startSeconds)} --> ${clock(step.endSeconds)}\n${words(step)}\n`,
    )
    .join('\n');
}

function clock(seconds: number): string {
  return new Date(Math.round(seconds * 1000)).toISOString().slice(11, 23).replace('.', ',');
}

interface TextClip {
  readonly file: string;
  readonly codec: 'mov_text' | 'srt';
  readonly steps: readonly Step[];
  readonly what: string;
}

function textClip({ file, codec, steps, what }: TextClip): CarrierMaker {
  return {
    file,
    make: async (path, ffmpeg) => {
      const silent = path.replace(/(\.\w+)$/, '-silent$1');
      await encodeTestClip(ffmpeg, silent);
      await withHelperFile(`${path}.srt`, subRip(steps), (helper) =>
        runFfmpeg(ffmpeg, [
          '-i',
          `file:${silent}`,
          '-i',
          `file:${helper}`,
          '-map',
          '0:v',
          '-map',
          '1:s',
          '-c',
          'copy',
          '-c:s',
          codec,
          ...EXACT,
          `file:${path}`,
        ]),
      );
      await rm(silent);
      const samples = steps.map(exposureOf);
      return { carrier: 'text-track', what, frames: frameSteps.length, clip: {}, samples };
    },
  };
}

/** The same words beside the clip instead of inside it. */
const sidecarClip: CarrierMaker = {
  file: 'TEXT0004.MP4',
  make: async (path, ffmpeg) => {
    // A title of its own, or it would be a copy of the other clip that has only a sidecar.
    await encodeTestClip(ffmpeg, path, ['-metadata', 'title=words beside']);
    await writeFile(path.replace(/MP4$/, 'SRT'), subRip(halfSeconds));
    const what = 'SubRip sidecar, a cue each half second';
    const samples = halfSeconds.map(exposureOf);
    return { carrier: 'text-track', what, frames: frameSteps.length, clip: {}, samples };
  },
};

const withGap = halfSeconds.filter((_, index) => index !== 2);

export const textClips: readonly CarrierMaker[] = [
  ...[
    {
      file: 'TEXT0001.MP4',
      codec: 'mov_text',
      steps: frameSteps,
      what: 'timed text in MP4, a cue each frame',
    } as const,
    { file: 'TEXT0002.MOV', codec: 'mov_text', steps: halfSeconds, what: 'timed text in MOV' } as const,
    {
      file: 'TEXT0003.MKV',
      codec: 'srt',
      steps: withGap,
      what: 'SubRip track in MKV, nothing from 1 s to 1.5 s',
    } as const,
  ].map(textClip),
  sidecarClip,
];
