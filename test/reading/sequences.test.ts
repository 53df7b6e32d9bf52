import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { FactValues, Recording } from '../../src/domain/recording.ts';
import { groupSequences } from '../../src/reading/sequences.ts';
import { still } from '../findings/subject.ts';

let count = 0;

/** A still that many seconds after nine. */
function shot(atSeconds: number, values: Partial<FactValues> = {}): Recording {
  count += 1;
  const recordedAt = new Date(Date.UTC(2026, 5, 2, 9) + atSeconds * 1000).toISOString();
  const facts = { recordedAt, exposureSeconds: 1 / 400, iso: 100, fNumber: 4, width: 4000, ...values };
  return { ...still(facts), path: `S${String(count).padStart(4, '0')}.JPG` };
}

const biased = (atSeconds: number, biases: readonly number[], pause = 0.4) =>
  biases.map((bias, at) =>
    shot(atSeconds + pause * at, { exposureBiasStops: bias, exposureSeconds: 2 ** bias / 400 }),
  );
const every = (atSeconds: number, interval: number, frames: number, values: Partial<FactValues> = {}) =>
  Array.from({ length: frames }, (_, at) => shot(atSeconds + interval * at, values));
const shape = (recordings: readonly Recording[]) =>
  groupSequences(recordings).map(({ kind, members }) => `${kind} ${members.length}`);

describe('brackets', () => {
  test.each([
    ['three', [0, -1, 1], 'bracket 3'],
    ['five', [-2, -1, 0, 1, 2], 'bracket 5'],
    ['seven in thirds', [-1, -0.67, -0.33, 0, 0.33, 0.67, 1], 'bracket 7'],
    ['four of five', [-2, -1, 0, 1], 'bracket 4'],
  ])('%s', (_, biases, expected) => expect(shape(biased(0, biases))).toEqual([expected]));

  test('one after the other are two', () => {
    expect(shape([...biased(0, [-1, 0, 1]), ...biased(1.5, [-1, 0, 1])])).toEqual(['bracket 3', 'bracket 3']);
  });

  test('without a recorded bias need a wide span and one framing', () => {
    const unbiased = (spans: readonly number[], values: (at: number) => Partial<FactValues> = () => ({})) =>
      spans.map((stops, at) => shot(0.4 * at, { exposureSeconds: 2 ** stops / 400, ...values(at) }));
    expect(shape(unbiased([-2, 0, 2]))).toEqual(['bracket 3']);
    expect(shape(unbiased([-0.5, 0, 0.5]))).toEqual([]);
    expect(shape(unbiased([-2, 0, 2], (at) => ({ headingDegrees: 355 + 30 * at })))).toEqual([]);
    expect(shape(unbiased([-2, 0, 2], (at) => ({ headingDegrees: (358 + 2 * at) % 360 })))).toEqual([
      'bracket 3',
    ]);
  });

  test('are no frames that lie apart, of two cameras, or alike', () => {
    expect(shape(biased(0, [-1, 0, 1], 30))).toEqual([]);
    expect(shape(biased(0, [-1, 0, 1]).map((one, at) => withCamera(one, `camera ${at}`)))).toEqual([]);
    expect(shape(biased(0, [0, 0, 0]))).toEqual([]);
  });

  const withCamera = (recording: Recording, camera: string): Recording => ({
    ...recording,
    facts: { ...recording.facts, camera: { value: camera, source: 'test' } },
  });
});

describe('interval series', () => {
  test('of five at least, at an even distance', () => {
    expect(shape(every(0, 5, 5))).toEqual(['interval 5']);
    expect(shape(every(0, 5, 4))).toEqual([]);
    expect(shape([0, 7, 20, 61, 64, 90, 200].map((at) => shot(at)))).toEqual([]);
  });

  test('know their interval, and which frames are missing', () => {
    const series = every(0, 2, 12).filter((_, at) => at !== 4 && at !== 5 && at !== 9);
    const [found] = groupSequences(series);
    expect(found).toMatchObject({ kind: 'interval', missingBefore: [0, 0, 0, 0, 2, 0, 0, 1, 0] });
    expect(found?.kind === 'interval' && found.intervalSeconds).toBeCloseTo(2, 9);
  });

  test('stand a camera that is late, and clocks without fractions of a second', () => {
    const late = every(0, 3, 8).map((_, at) => shot(3 * at + (at % 2) * 0.2));
    expect(shape(late)).toEqual(['interval 8']);
    const whole = Array.from({ length: 10 }, (_, at) =>
      shot(Math.floor(1.5 * at), {
        recordedAt: new Date(Date.UTC(2026, 5, 2) + Math.floor(1.5 * at) * 1000)
          .toISOString()
          .replace('.000Z', 'Z'),
      }),
    );
    expect(shape(whole)).toEqual(['interval 10']);
    const [found] = groupSequences(whole);
    expect(found?.kind === 'interval' && found.intervalSeconds).toBeCloseTo(13 / 9, 9);
  });

  test('end where another one begins, and are no bursts', () => {
    expect(shape([...every(0, 2, 6), ...every(100, 5, 6)])).toEqual(['interval 6', 'interval 6']);
    expect(shape(every(0, 0.3, 12))).toEqual([]);
  });

  test('with stepping exposures are no brackets', () => {
    const steps = [0, 0.33, 0, -0.33, 0, 0.33, 0, -0.33];
    const flickering = steps.map((stops, at) => shot(2 * at, { exposureSeconds: 2 ** stops / 400 }));
    expect(shape(flickering)).toEqual(['interval 8']);
  });
});

test('stills without a time and composites stay out', () => {
  expect(shape(every(0, 5, 6, { composite: 'while-shooting' }))).toEqual([]);
  expect(groupSequences([still({ exposureSeconds: 1 })])).toEqual([]);
});

test('the order of the recordings makes no difference', () => {
  const card = [...biased(0, [-1, 0, 1]), ...every(60, 2, 9), shot(300), ...biased(400, [-2, -1, 0, 1, 2])];
  const groups = (recordings: readonly Recording[]) =>
    groupSequences(recordings).map(({ members }) => members.map(({ path }) => path));
  const expected = groups(card);
  fc.assert(
    fc.property(fc.shuffledSubarray(card, { minLength: card.length }), (shuffled) => {
      expect(groups(shuffled)).toEqual(expected);
    }),
    { numRuns: 40 },
  );
});
