import { expect, test } from 'vitest';
import { adviseFilter } from '../../src/advice/advise.ts';
import { commonKit } from '../../src/domain/filterKit.ts';
import { defaultLimits } from '../../src/domain/limits.ts';
import { exposureOffset } from '../../src/findings/exposureOffset.ts';
import { tooBright } from '../../src/findings/tooBright.ts';
import { measureClip } from '../../src/measuring/measureClip.ts';
import { locatePrograms } from '../../src/programs/locate.ts';
import { openMedia } from '../../src/programs/openMedia.ts';
import { readClip } from '../../src/reading/clip.ts';
import { mergeReadings } from '../../src/reading/mergeReadings.ts';
import { clip } from '../findings/subject.ts';
import { blankFrame, encodeClip, losslessH264 } from './encodeClip.ts';

const programs = await locatePrograms();
const shape = { width: 64, height: 48, bitDepth: 8 } as const;

/** A grey clip of one code, with these options of ffmpeg, as it is read and measured. */
async function greyClip(code: number, ...tags: string[]) {
  const frames = Array.from({ length: 10 }, () => blankFrame(shape, code));
  const file = await encodeClip(shape, frames, { codec: [...losslessH264, ...tags], extension: 'mp4' });
  const media = await openMedia(file);
  try {
    const { facts } = mergeReadings((await readClip(media, programs)).readings);
    const { ffmpeg: program } = programs;
    const measurement = await measureClip({
      program,
      media,
      facts,
      mode: 'sampled',
      clippedFlagFraction: 0.01,
    });
    return { recording: { ...clip({}), facts }, measurement };
  } finally {
    await media.close();
  }
}

// BT.709-6, items 1.2 and 4.6: code 121 is a signal of (121 - 16) / 219, which is ((0.4795 + 0.099) / 1.099)^(1 / 0.45)
// of white, 0.2400: 0.42 stop over a grey card of 0.18.
test('an untagged 8-bit clip has its level by BT.709 in narrow range', async () => {
  const { recording, measurement } = await greyClip(121);
  expect(recording.facts.transfer?.source).toMatch(/^assumed/);
  expect(measurement.levelStops?.median).toBeCloseTo(0.415, 2);
});

test('what rests on an assumed curve is less certain, and says so', async () => {
  const [bare, tagged] = await Promise.all([greyClip(218), greyClip(218, '-color_trc', 'bt709')]);
  expect(tagged.measurement.levelStops).toEqual(bare.measurement.levelStops);
  expect(tagged.recording.facts.transfer?.source).toBe('stream colour transfer');
  const judgedBy = ({ recording: { facts, ...rest }, measurement }: typeof bare) => {
    const shot = clip({ exposureSeconds: 1 / 50, iso: 100 }).facts;
    const recording = { ...rest, facts: { ...facts, ...shot } };
    const offset = exposureOffset(recording, measurement);
    const subject = { recording, measurement, offset, limits: defaultLimits };
    return { finding: tooBright.find(subject)[0], advice: adviseFilter({ ...subject, kit: commonKit }) };
  };
  // log2(((202 / 219 + 0.099) / 1.099)^(1 / 0.45) / 0.18): 2.24 stops over by the curve; with the shoulder
  // of cameras more than the 3.2 that weighs, and less than a stop more.
  expect(judgedBy(tagged).finding).toMatchObject({ kind: 'too-bright', weight: 'medium' });
  expect(judgedBy(tagged).finding).not.toMatchObject({ curveIsAssumed: expect.anything() });
  expect(judgedBy(bare).finding).toMatchObject({ kind: 'too-bright', weight: 'low', curveIsAssumed: true });
  const spread = judgedBy(tagged).advice?.uncertaintyStops ?? NaN;
  expect(judgedBy(bare).advice?.uncertaintyStops).toBeCloseTo(Math.hypot(spread, 1), 9);
  expect(judgedBy(bare).advice?.basis).toBe('recorded exposure and picture level in an assumed curve');
});
