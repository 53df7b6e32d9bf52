import { readFile, rm, writeFile } from 'node:fs/promises';
import { runFfmpeg } from '../encode.ts';
import type { ExposureSample } from './truth.ts';

export const FRAMES_PER_SECOND = 24;
export const FRAME_COUNT = 48;
export const CLIP_SECONDS = FRAME_COUNT / FRAMES_PER_SECOND;
/** Frames for which one exposure holds: half a second. */
const FRAMES_PER_STEP = 12;

/** What the invented camera did in the four half seconds; each time is a whole number of nanoseconds. */
const STEPS = [
  { denominator: 200, iso: 100, fNumber: 2.8 },
  { denominator: 250, iso: 100, fNumber: 2.8 },
  { denominator: 320, iso: 200, fNumber: 4 },
  { denominator: 400, iso: 400, fNumber: 5.6 },
] as const;

/** An invented spot far from any land. */
export const PLACE = { latitude: -47.20625, longitude: -126.7125, altitudeMetres: 93.5 } as const;

export interface Step extends ExposureSample {
  readonly exposureSeconds: number;
  readonly denominator: number;
  readonly iso: number;
  readonly fNumber: number;
}

/** The exposure of each frame. */
export const frameSteps: readonly Step[] = Array.from({ length: FRAME_COUNT }, (_, frame) =>
  stepBetween(frame, frame + 1),
);

/** The four stretches of constant exposure. */
export const halfSeconds: readonly Step[] = STEPS.map((_, step) =>
  stepBetween(step * FRAMES_PER_STEP, (step + 1) * FRAMES_PER_STEP),
);

function stepBetween(from: number, to: number): Step {
  const step = STEPS[Math.floor(from / FRAMES_PER_STEP)];
  if (step === undefined) throw new RangeError(`frame must be below ${FRAME_COUNT}: it was ${from}`);
  return {
    startSeconds: from / FRAMES_PER_SECOND,
    endSeconds: to / FRAMES_PER_SECOND,
    exposureSeconds: 1 / step.denominator,
    ...step,
  };
}

/** The triangle of facts that every timed carrier here can hold. */
export function exposureOf({
  startSeconds,
  endSeconds,
  exposureSeconds,
  iso,
  fNumber,
}: Step): ExposureSample {
  return { startSeconds, endSeconds, exposureSeconds, iso, fNumber };
}

const PICTURE = [
  '-f',
  'lavfi',
  '-i',
  `testsrc2=size=160x90:rate=${FRAMES_PER_SECOND}:duration=${CLIP_SECONDS}`,
];
/** One thread and no dates, so that the same bytes come out every time. */
export const EXACT = [
  '-threads',
  '1',
  '-map_metadata',
  '-1',
  '-fflags',
  '+bitexact',
  '-flags:v',
  '+bitexact',
];
export const H264 = ['-c:v', 'libx264', '-preset', 'ultrafast', '-pix_fmt', 'yuv420p'];

/** Encodes the test picture of two seconds; `more` goes before the output. */
export async function encodeTestClip(
  ffmpeg: string,
  path: string,
  more: readonly string[] = [],
): Promise<void> {
  await runFfmpeg(ffmpeg, [...PICTURE, ...H264, ...EXACT, ...more, `file:${path}`]);
}

/** Encodes the test picture to a file and returns its bytes, for a script to put something into. */
export async function testClipBytes(
  ffmpeg: string,
  path: string,
  more: readonly string[] = [],
): Promise<Buffer> {
  await encodeTestClip(ffmpeg, path, more);
  return readFile(path);
}

/** Runs `use` with a file beside the clip that is gone afterwards. */
export async function withHelperFile(
  path: string,
  content: string | Uint8Array,
  use: (helper: string) => Promise<void>,
): Promise<void> {
  await writeFile(path, content);
  try {
    await use(path);
  } finally {
    await rm(path);
  }
}
