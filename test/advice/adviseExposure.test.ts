import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { adviseExposure } from '../../src/advice/adviseExposure.ts';
import type { ExposureStep, LightFault } from '../../src/domain/advice.ts';
import type { FittedFilter } from '../../src/domain/filterKit.ts';
import { defaultLimits } from '../../src/domain/limits.ts';
import type { HighlightRoom } from '../../src/domain/overexposure.ts';
import type { FactValues } from '../../src/domain/recording.ts';
import { clip, overBy, still } from '../findings/subject.ts';

interface Setup {
  readonly facts?: Partial<FactValues>;
  readonly faults: readonly LightFault[];
  readonly offsetStops?: number;
  readonly fitted?: FittedFilter;
  readonly room?: HighlightRoom;
  readonly fNumbersSeen?: readonly number[];
  readonly kind?: 'clip' | 'still';
}

const nd16: FittedFilter = { label: 'ND16', stops: 4, source: 'notes' };

/** f/4 and 1/400 s at ISO 100, EV 12.6, with the view of 24 mm, unless it says otherwise. */
function advise({ facts, faults, offsetStops = 0, fitted, room, fNumbersSeen, kind = 'still' }: Setup) {
  const usual = { exposureSeconds: 1 / 400, fNumber: 4, iso: 100, equivalentFocalLengthMm: 24 };
  return adviseExposure({
    recording: (kind === 'still' ? still : clip)({ ...usual, ...facts }),
    limits: defaultLimits,
    fitted,
    offset: { offsetStops, basis: 'metered' },
    highlightRoom: room,
    fNumbersSeen,
    faults: new Set(faults),
  });
}

const inShort = (steps: readonly ExposureStep[] | undefined) =>
  steps?.map(({ setting, stops }) => [setting, stops]);

// Stops by hand: log2 of the ratio of times and of ISO, twice that of f-numbers.
test.each<readonly [string, Setup, readonly (readonly [string, number])[]]>([
  [
    'too bright at base ISO: a shorter shutter',
    { faults: ['too-bright'], offsetStops: 2 },
    [['shutter', -2]],
  ],
  [
    'too bright at ISO 800: ISO first, then the shutter',
    { faults: ['too-bright', 'iso-raised'], offsetStops: 4, facts: { iso: 800 } },
    [
      ['iso', -3],
      ['shutter', -1],
    ],
  ],
  [
    'too bright at the end of the shutter: the aperture, then a filter',
    {
      faults: ['too-bright'],
      offsetStops: 3,
      facts: { exposureSeconds: 1 / 8000, fNumber: 2.8 },
      fNumbersSeen: [2.8, 4],
    },
    [
      // 2 log2(2.8 / 4) = -1.03
      ['aperture', -1],
      ['filter', -2],
    ],
  ],
  [
    'a tenth of a stop beyond the end of the shutter: no filter for that',
    // A still from the street, 1/1748 s: 4.4% burnt, 2.3 stops darker wanted, and log2(8000 / 1748) = 2.19.
    {
      faults: ['highlights-clipped'],
      offsetStops: 0.3,
      facts: { exposureSeconds: 1 / 1748 },
      room: { burntFraction: 0.044, overexposure: overBy(2.3) },
    },
    [['shutter', -2.2]],
  ],
  [
    'too bright after two seconds in daylight: the blur was wanted, so a filter',
    { faults: ['too-bright'], offsetStops: 2, facts: { exposureSeconds: 2, fNumber: 22 }, fitted: nd16 },
    [['filter', -2]],
  ],
  [
    // A bracket by hand: 0.3 s at f/8 and ISO 80, 72% burnt.
    'too bright after a third of a second in daylight, without a word of a filter: a shorter shutter',
    { faults: ['too-bright'], offsetStops: 4, facts: { exposureSeconds: 0.3, fNumber: 8, iso: 80 } },
    [['shutter', -4]],
  ],
  [
    'too bright after two seconds at night: a shorter shutter',
    { faults: ['too-bright'], offsetStops: 2, facts: { exposureSeconds: 2, fNumber: 2.8 } },
    [['shutter', -2]],
  ],
  [
    'too dark behind a filter: without it',
    { faults: ['too-dark'], offsetStops: -4, fitted: nd16 },
    [['filter', 4]],
  ],
  ['too dark in daylight: a longer shutter', { faults: ['too-dark'], offsetStops: -2 }, [['shutter', 2]]],
  [
    'too dark at the longest shutter that can be held: the aperture, then ISO',
    {
      faults: ['too-dark'],
      offsetStops: -3,
      facts: { exposureSeconds: 1 / 24 },
      fNumbersSeen: [2.8, 4],
    },
    [
      ['aperture', 1],
      ['iso', 2],
    ],
  ],
  [
    'ISO 1600 at 1/400 s: ISO 100 and 1/25 s',
    { faults: ['iso-raised'], facts: { iso: 1600 } },
    [
      ['iso', -4],
      ['shutter', 4],
    ],
  ],
  [
    'ISO 1600 at 1/25 s: nothing',
    { faults: ['iso-raised'], facts: { iso: 1600, exposureSeconds: 1 / 25 } },
    [],
  ],
  [
    'burnt by a stop and a half: so much darker',
    { faults: ['highlights-clipped'], room: { burntFraction: 0.05, overexposure: overBy(1.5) } },
    [['shutter', -1.5]],
  ],
  [
    'a clip that is a stop over with ISO two stops up: a filter a stop weaker',
    { kind: 'clip', faults: ['too-bright', 'iso-raised'], offsetStops: 1, facts: { iso: 400 } },
    [
      ['iso', -2],
      ['filter', 1],
    ],
  ],
])('%s', (_title, setup, steps) => {
  expect(inShort(advise(setup)?.steps)).toEqual(steps);
});

test('a flying camera holds its shutter by what passes under it', () => {
  // 60 m over ground at 24 mm sees 90 m; 0.0008 of it, 7.2 cm, pass in 1/97 s at 7 m/s. 1/400 s is 2.04 stops shorter.
  const facts = { heightOverStartMetres: 60, groundSpeedMetresPerSecond: 7, iso: 800 };
  expect(inShort(advise({ faults: ['iso-raised'], facts })?.steps)).toEqual([
    ['iso', -2.1],
    ['shutter', 2.1],
  ]);
});

describe('the picture stays as bright', () => {
  test('where it is dark and burnt: another exposure would only lose the other end', () => {
    const advice = advise({ faults: ['too-dark', 'highlights-clipped'], offsetStops: -2 });
    expect(advice).toMatchObject({ wantedStops: 0, leaves: 'contrast', steps: [] });
  });

  test('where lamps burn at night', () => {
    const facts = { exposureSeconds: 1 / 30, fNumber: 2.8, iso: 800 };
    const advice = advise({ faults: ['highlights-clipped'], facts });
    // log2(100 × 2.8² × 30 / 800) = 4.88
    expect(advice).toMatchObject({ wantedStops: 0, leaves: 'lamps', steps: [] });
    expect(advice?.lowLightEv100).toBeCloseTo(4.88, 2);
  });
});

test('a dark picture is brightened by no more than its brightest parts stand', () => {
  expect(advise({ faults: ['too-dark'], offsetStops: -3, room: { roomStops: 1 } })?.wantedStops).toBe(1);
});

test('where ISO has to stay up it says what a camera on a stand could take', () => {
  const facts = { exposureSeconds: 1 / 25, fNumber: 2.8, iso: 800 };
  // Three stops of 1/25 s.
  expect(advise({ faults: ['iso-raised'], facts })).toMatchObject({
    shutterAtItsEnd: true,
    stillSeconds: 0.3,
  });
});

test('nothing found, nothing advised', () => {
  expect(advise({ faults: [], offsetStops: 2 })).toBeUndefined();
});

test('steps add up to what is wanted, and none goes against it but ISO for less noise', () => {
  const faults = fc.subarray<LightFault>([
    'too-bright',
    'too-dark',
    'highlights-clipped',
    'channel-clipped',
    'iso-raised',
  ]);
  const stops = (min: number, max: number) => fc.double({ min, max, noNaN: true });
  fc.assert(
    fc.property(
      faults,
      stops(-6, 6),
      stops(-13, 4),
      stops(-1, 8),
      fc.boolean(),
      (found, off, time, iso, worn) => {
        const isBright = found.includes('too-bright');
        const advice = advise({
          faults: found.filter((fault) => fault !== (isBright ? 'too-dark' : 'too-bright')),
          offsetStops: isBright ? Math.abs(off) : -Math.abs(off),
          facts: { exposureSeconds: 2 ** time, iso: 100 * 2 ** iso },
          fitted: worn ? nd16 : undefined,
          fNumbersSeen: [2.8, 4, 5.6],
        });
        if (advice === undefined) return;
        const sum = advice.steps.reduce((total, step) => total + step.stops, 0);
        expect(sum + advice.missingStops).toBeCloseTo(advice.wantedStops, 9);
        const others = advice.steps
          .filter(({ setting }) => setting !== 'iso')
          .map((step) => Math.sign(step.stops));
        expect(new Set(others).size).toBeLessThanOrEqual(1);
      },
    ),
    { numRuns: 1000 },
  );
});
