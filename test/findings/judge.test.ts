import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { FindingKind } from '../../src/findings/index.ts';
import type { Judged } from '../../src/findings/finding.ts';
import { exposureOffset } from '../../src/findings/exposureOffset.ts';
import { defaultLimits } from '../../src/domain/limits.ts';
import { highlightRoom } from '../../src/findings/clipping.ts';
import { judge } from '../../src/findings/judge.ts';
import { clip, fps, judged, measured, still, track } from './subject.ts';

/** Kind and weight of what is found, shutter-unknown left out unless asked for. */
const found = (subject: Judged, without: FindingKind = 'shutter-unknown') =>
  judge(subject)
    .filter(({ kind }) => kind !== without)
    .map(({ kind, weight }) => `${kind} ${weight}`);

const shutter = (exposureSeconds: number, motion?: number) =>
  judged(
    clip({ exposureSeconds, frameRate: fps(24), width: 1920 }),
    motion === undefined
      ? {}
      : { measurement: measured([{}], { motionPixelsPerFrame: { median: 0, high: motion } }) },
  );

describe('shutter', () => {
  test.each([
    [1 / 48, []],
    [1 / 50, []],
    [1 / 60, ['shutter-edge low']],
    [1 / 80, ['shutter-short medium']],
    [1 / 96, ['shutter-short medium']],
    [1 / 100, ['shutter-short high']],
    [1 / 2000, ['shutter-short high']],
    [1 / 30, ['shutter-long medium']],
    [1 / 24, ['shutter-long medium']],
    [1 / 20, ['shutter-impossible medium']],
  ])('%d s at 24 frames/s: %o', (exposureSeconds, findings) => {
    expect(found(shutter(exposureSeconds))).toEqual(findings);
  });

  test('a short one in a picture that hardly moves is one step less serious, a long one is not', () => {
    expect(found(shutter(1 / 2000, 1))).toEqual(['shutter-short medium']);
    expect(found(shutter(1 / 80, 1))).toEqual(['shutter-short low']);
    expect(found(shutter(1 / 2000, 9))).toEqual(['shutter-short high']);
    expect(found(shutter(1 / 30, 1))).toEqual(['shutter-long medium']);
  });

  test('the finding carries what was set and what was meant', () => {
    const [finding] = judge(judged(clip({ exposureSeconds: 1 / 800, frameRate: fps(25) })));
    expect(finding).toMatchObject({ kind: 'shutter-short', exposureSeconds: 1 / 800, targetSeconds: 1 / 50 });
    // log2(800 / 50) = 4 stops, 360 x 25 / 800 = 11.25 degrees.
    expect(finding).toMatchObject({ angleDegrees: 11.25, offsetStops: -4 });
  });

  test('a clip with a track that could not be read is not said to have recorded no exposure', () => {
    const recording = clip({ frameRate: fps(24) });
    const unreadTracks = ['a data track (abcd)'];
    expect(judge(judged({ ...recording, unreadTracks }))).toEqual([
      { kind: 'shutter-unknown', weight: 'low', missing: 'unread-track', tracks: unreadTracks },
    ]);
  });

  test('a clip whose recorded exposure was not believed says what was recorded', () => {
    const recording = clip({ frameRate: fps(24) });
    const refused = { raw: '0', source: 'container tag shutter_ns', reason: 'is not a time' };
    const refusals = [{ what: 'exposureSeconds', ...refused }];
    expect(judge(judged({ ...recording, refusals, unreadTracks: ['a text track'] }))).toEqual([
      { kind: 'shutter-unknown', weight: 'low', missing: 'believable-exposure', refused },
    ]);
  });

  test('a clip says which input is missing, a still never does', () => {
    expect(judge(judged(clip({ frameRate: fps(24) })))).toEqual([
      { kind: 'shutter-unknown', weight: 'low', missing: 'exposure' },
    ]);
    expect(judge(judged(clip({ exposureSeconds: 0.02 })))).toEqual([
      { kind: 'shutter-unknown', weight: 'low', missing: 'frame-rate' },
    ]);
    expect(judge(judged(still({})))).toEqual([]);
    expect(judge(judged(still({ exposureSeconds: 1 / 2000, frameRate: fps(24) })))).toEqual([]);
  });
});

describe('clipping', () => {
  const recording = still({});
  const subject = (frames: Parameters<typeof measured>[0]) =>
    judged(recording, { measurement: measured(frames) });

  test.each([
    [0.01, []],
    [0.011, ['highlights-clipped medium']],
    [0.05, ['highlights-clipped medium']],
    [0.051, ['highlights-clipped high']],
  ])('%d of the picture, spread out: %o', (clippedFraction, findings) => {
    expect(found(subject([{ clippedFraction, clippedShape: 'area' }]))).toEqual(findings);
  });

  // One burnt part counts by its size; flecks by a fifth of them.
  test.each([
    [0.03, 0.012, 'medium'],
    [0.03, 0.009, 'low'],
    [0.0501, 0.001, 'medium'],
    [0.2, 0.049, 'medium'],
    [0.2, 0.051, 'high'],
  ])(
    '%d of the picture, %d of it in one place, weighs %s',
    (clippedFraction, largestRegionFraction, weight) => {
      const flecks = { clippedFraction, largestRegionFraction, clippedShape: 'area' } as const;
      expect(found(subject([flecks]))).toEqual([`highlights-clipped ${weight}`]);
    },
  );

  test('the heaviest frame weighs, the one that clips most is told', () => {
    const frames = [
      { clippedFraction: 0.04, largestRegionFraction: 0.001 },
      { clippedFraction: 0.02, largestRegionFraction: 0.02 },
    ];
    expect(judge(subject(frames))).toMatchObject([
      { kind: 'highlights-clipped', weight: 'medium', maxFraction: 0.04, largestFraction: 0.001 },
    ]);
  });

  test('flecks leave the room of the highlights open, and ask for nothing', () => {
    const room = (largestRegionFraction: number) =>
      highlightRoom(measured([{ clippedFraction: 0.03, largestRegionFraction }]), defaultLimits);
    expect(room(0.02)).toEqual({ burntFraction: 0.03 });
    expect(room(0.002)).toEqual({});
  });

  test('what is no scene is not judged by its light, and a black frame is told', () => {
    const title = { clippedFraction: 0.2, channelClippedFraction: 0.5, crushedFraction: 0.7 };
    const notJudged = measured([{ ...title, noScene: 'drawing' }], { noScene: 'drawing', flickerStops: 0.5 });
    expect(found(judged(recording, { measurement: notJudged }))).toEqual(['not-a-scene low']);
    expect(highlightRoom(notJudged, defaultLimits)).toBeUndefined();
    const cap = measured([{ noScene: 'black', crushedFraction: 1 }], { noScene: 'black' });
    expect(found(judged(recording, { measurement: cap }))).toEqual(['not-a-scene medium']);
    const framed = measured([{}], { pictureArea: { shape: 'bars', fraction: 0.74 } });
    expect(found(judged(recording, { measurement: framed }))).toEqual(['black-frame low']);
  });

  test('a title in a clip is no highlight of it', () => {
    const title = { noScene: 'drawing', clippedFraction: 0.3, clippedShape: 'area' } as const;
    expect(found(subject([title, {}]))).toEqual([]);
  });

  test('a compact disc is a remark, whatever its size', () => {
    expect(found(subject([{ clippedFraction: 0.08, clippedShape: 'disc' }]))).toEqual(['disc-clipped low']);
    expect(found(subject([{ clippedFraction: 0.009, clippedShape: 'disc' }]))).toEqual(['disc-clipped low']);
    expect(found(subject([{ clippedFraction: 0.0009, clippedShape: 'disc' }]))).toEqual([]);
  });

  test('a disc in one frame does not hide an area in another', () => {
    const findings = judge(
      subject([
        { clippedFraction: 0.01, clippedShape: 'disc' },
        { clippedFraction: 0.03, clippedShape: 'area' },
      ]),
    );
    expect(findings).toMatchObject([
      { kind: 'highlights-clipped', maxFraction: 0.03 },
      { kind: 'disc-clipped', maxFraction: 0.01 },
    ]);
  });

  // A real clip of a sun in water: 1.9% and round in some frames, 2.2% and no longer round in others.
  test('a sun that is hardly larger where it is not round is the same sun', () => {
    const findings = judge(
      subject([
        { clippedFraction: 0.019, clippedShape: 'disc' },
        { clippedFraction: 0.022, clippedShape: 'area' },
      ]),
    );
    expect(findings).toMatchObject([{ kind: 'disc-clipped', maxFraction: 0.019 }]);
  });

  test('a part that burns for less than a shot is a remark, and a large one for less than a second', () => {
    const passing = (clippedFraction: number, endSeconds: number) =>
      judge(
        judged(recording, {
          measurement: measured(
            [{ clippedFraction, largestRegionFraction: clippedFraction }, {}, {}, {}, {}],
            {
              clippedSpans: [{ startSeconds: 0, endSeconds, maxFraction: clippedFraction }],
            },
          ),
        }),
      );
    expect(passing(0.03, 0.5)).toMatchObject([{ kind: 'highlights-clipped', weight: 'low' }]);
    expect(passing(0.2, 0.5)).toMatchObject([{ kind: 'highlights-clipped', weight: 'low' }]);
    expect(passing(0.2, 1.2)).toMatchObject([{ kind: 'highlights-clipped', weight: 'high' }]);
    expect(passing(0.03, 5.2)).toMatchObject([{ kind: 'highlights-clipped', weight: 'medium' }]);
  });

  test('what burns in half of a short clip weighs in full, and a large part in a quarter', () => {
    const weighed = (fraction: number, ...others: readonly object[]) => {
      const burnt = { clippedFraction: fraction, largestRegionFraction: fraction };
      const clippedSpans = [{ startSeconds: 0, endSeconds: 0.8, maxFraction: fraction }];
      return found(judged(recording, { measurement: measured([burnt, ...others], { clippedSpans }) }));
    };
    expect(weighed(0.03, {})).toEqual(['highlights-clipped medium']);
    expect(weighed(0.03, {}, {})).toEqual(['highlights-clipped low']);
    expect(weighed(0.2, {}, {}, {})).toEqual(['highlights-clipped high']);
    expect(weighed(0.2, {}, {}, {}, {})).toEqual(['highlights-clipped low']);
  });

  test('the stretch with the worst frame is named, the others are counted', () => {
    const measurement = measured(
      [{ clippedFraction: 0.02 }, {}, { clippedFraction: 0.04, clippedShape: 'area' }, {}],
      {
        clippedSpans: [
          { startSeconds: 0, endSeconds: 0.5, maxFraction: 0.02 },
          { startSeconds: 1.5, endSeconds: 2.5, maxFraction: 0.04 },
        ],
      },
    );
    expect(judge(judged(recording, { measurement }))).toMatchObject([
      { kind: 'highlights-clipped', maxFraction: 0.04, spanCount: 2, startSeconds: 1.5, endSeconds: 2.5 },
    ]);
  });

  test('a clipped channel counts by what is not white with it, and not beside a white part', () => {
    const channels = (channelClippedFraction: number, clippedFraction = 0) =>
      found(subject([{ channelClippedFraction, clippedFraction }]));
    expect(channels(0.12)).toEqual(['channel-clipped medium']);
    expect(channels(0.05, 0.01)).toEqual(['channel-clipped low']);
    expect(channels(0.035, 0.01)).toEqual([]);
    expect(channels(0.4, 0.02)).toEqual(['highlights-clipped medium']);
  });

  test('a colour that is clipped in a few frames of a clip is a remark', () => {
    const sunset = { channelClippedFraction: 0.2 };
    expect(found(subject([sunset, {}, {}]))).toEqual(['channel-clipped low']);
    expect(found(subject([sunset, sunset, {}]))).toEqual(['channel-clipped medium']);
  });

  test('clipped blue alone is never more than a remark', () => {
    const burnt = (red: number, blue: number) =>
      found(
        subject([{ channelClippedFraction: Math.max(red, blue), burntChannels: { red, green: 0, blue } }]),
      );
    expect(burnt(0.04, 0)).toEqual(['channel-clipped low']);
    expect(burnt(0.11, 0)).toEqual(['channel-clipped medium']);
    expect(burnt(0, 0.09)).toEqual([]);
    expect(burnt(0, 0.11)).toEqual(['channel-clipped low']);
    expect(burnt(0, 0.9)).toEqual(['channel-clipped low']);
  });

  test('crushed shadows are a remark above the same area', () => {
    expect(found(subject([{ crushedFraction: 0.02 }]))).toEqual(['shadows-crushed low']);
    expect(found(subject([{ crushedFraction: 0.01 }]))).toEqual([]);
  });
});

describe('exposure offset', () => {
  const at = (offsetStops: number, basis: 'metered' | 'picture') =>
    found(judged(still({}), { offset: { offsetStops, basis } }));

  test.each([
    [0, []],
    [-0.7, []],
    // Readings in tenths of a stop: less than half of a third cannot be set any better.
    [0.1, []],
    [1 / 6, []],
    [0.2, ['too-bright low']],
    [1 / 3, ['too-bright low']],
    [0.4, ['too-bright medium']],
    [-0.8, []],
    [-0.9, ['too-dark low']],
    [-0.7 - 1 / 3, ['too-dark low']],
    [0.7, ['too-bright medium']],
    [1.3, ['too-bright high']],
    [-1, ['too-dark low']],
    [-1.3, ['too-dark medium']],
    [-2, ['too-dark high']],
  ])('metered %d: %o', (offsetStops, findings) => expect(at(offsetStops, 'metered')).toEqual(findings));

  test.each([
    [0.6, []],
    [0.9, []],
    [1.1, ['too-bright low']],
    // A picture of white cards, 83 to 90% (BT.2408-7, table 1), lies log2(0.83 / 0.18) = 2.2 stops over grey.
    [2.2, ['too-bright low']],
    [4, ['too-bright medium']],
    [-1.3, []],
    [-1.8, ['too-dark low']],
    [-2, ['too-dark medium']],
    [-5, ['too-dark medium']],
  ])('picture level %d: %o', (offsetStops, findings) => expect(at(offsetStops, 'picture')).toEqual(findings));

  // A level is right to half a stop, so two stops over may read 1.5.
  test.each([
    [1.4, 0.05, 'low'],
    [1.6, 0.05, 'medium'],
    [1.6, 0.005, 'low'],
  ])('picture level %d with %d burnt out weighs %s', (offsetStops, clippedFraction, weight) => {
    const measurement = measured([{ clippedFraction }]);
    const findings = found(judged(still({}), { measurement, offset: { offsetStops, basis: 'picture' } }));
    expect(findings).toContain(`too-bright ${weight}`);
  });

  // An eclipse of the moon: 4.2 stops under by its mean, and its brightest parts could have been 1.2 stops brighter.
  test.each([
    [-4.2, 1.2, 'low'],
    [-4.2, 3, 'medium'],
  ])('picture level %d with room for %d weighs %s', (offsetStops, headroomStops, weight) => {
    const measurement = measured([{}], { headroomStops });
    const findings = found(judged(still({}), { measurement, offset: { offsetStops, basis: 'picture' } }));
    expect(findings).toContain(`too-dark ${weight}`);
  });

  // White may lie 1.92 stops over its place in the report: the rest of HLG; in PQ 1000 cd/m² against 203, of which the
  // system gamma of 1.2 makes log2(1000 / 203) / 1.2 = 1.92 stops of scene light (BT.2408-7, table 1).
  test.each([
    ['hlg', 2.2, []],
    ['hlg', 1.92 + 1.1, ['too-bright low']],
    ['hlg', 1.92 + 2.3, ['too-bright low']],
    ['hlg', 1.92 + 3.3, ['too-bright medium']],
    ['pq', 2.5, []],
    ['pq', 1.92 + 1.1, ['too-bright low']],
    // Colour bars at the end of PQ: no camera makes them, and no place of white explains them.
    ['pq', 6.2, ['too-bright low']],
    ['pq', -3, ['too-dark low']],
    ['hlg', -2, ['too-dark medium']],
    ['bt709', 0.9, ['too-bright low']],
    // The shoulder makes 1.97 by the curve more than 2.2 of light, which a picture full of white things has.
    ['bt709', 1.97, ['too-bright low']],
  ] as const)('in %s, picture level %d: %o', (transfer, level, findings) => {
    const recording = clip({ transfer });
    const levelStops = { median: level, low: level, high: level };
    const measurement = measured([{}], { levelStops });
    const kinds = found(judged(recording, { measurement, offset: exposureOffset(recording, measurement) }));
    expect(kinds.filter((kind) => kind.startsWith('too-'))).toEqual(findings);
  });
});

describe('ISO', () => {
  test.each([
    [50, []],
    [100, []],
    [110, []],
    [150, []],
    [160, ['iso-raised low']],
    [400, ['iso-raised low']],
    [800, ['iso-raised medium']],
  ])('%d over a base of 100: %o', (iso, findings) => expect(found(judged(still({ iso })))).toEqual(findings));
});

// 1/205 s at 30000/1001 frames/s are 1.8 stops short of 180 degrees, ISO 200 is a stop over 100.
test.each([
  [200, true],
  [800, undefined],
])('at ISO %d a short shutter took the light: %o', (iso, shutterTookIt) => {
  const frameRate = { numerator: 30_000, denominator: 1001 };
  const findings = judge(judged(clip({ iso, exposureSeconds: 1 / 205, frameRate })));
  const raised = findings.find(({ kind }) => kind === 'iso-raised');
  expect(raised).toHaveProperty('shutterTookIt', shutterTookIt);
});

describe('drift', () => {
  const drift = (samples: Parameters<typeof track>[0]) =>
    judge(judged(clip({}, track(samples)))).filter(({ kind }) => kind === 'exposure-drifts');

  test('a clip whose ISO steps from 100 to 400 drifts by two stops', () => {
    const samples = Array.from({ length: 40 }, (_, index) => ({
      exposureSeconds: 0.02,
      iso: index < 20 ? 100 : 400,
    }));
    expect(drift(samples)).toMatchObject([{ weight: 'medium', rangeStops: expect.closeTo(2, 9) }]);
  });

  test('exposure and ISO that make up for each other do not drift', () => {
    expect(
      drift([
        { exposureSeconds: 0.02, iso: 100 },
        { exposureSeconds: 0.01, iso: 200 },
      ]),
    ).toEqual([]);
  });

  test('one stop is a remark, however floating point rounds it', () => {
    const samples = (iso: number) => [{ exposureSeconds: 1 / 50, iso }];
    const half = (iso: number) => Array.from({ length: 30 }, () => samples(iso)).flat();
    for (const iso of [100, 125, 160, 200, 320])
      expect(drift([...half(iso), ...half(2 * iso)])).toMatchObject([{ weight: 'low' }]);
  });

  test('one wild sample in forty says nothing', () => {
    const samples = Array.from({ length: 40 }, (_, index) => ({
      exposureSeconds: index === 7 ? 0.5 : 0.02,
      iso: 100,
    }));
    expect(drift(samples)).toEqual([]);
  });

  test('an aperture from f/2.8 to f/5.6 is two stops, and a missing sample does not hide it', () => {
    const samples = Array.from({ length: 40 }, (_, index) =>
      index === 3 ? {} : { fNumber: index < 20 ? 2.8 : 5.6, iso: 100 },
    );
    expect(drift(samples)).toMatchObject([{ rangeStops: expect.closeTo(2, 9) }]);
  });

  test('no samples, no drift', () => expect(drift([])).toEqual([]));
});

describe('sources', () => {
  test('a disagreement on the exposure time flags the clip, with both values readable', () => {
    const recording = clip({ frameRate: fps(24) });
    const facts = {
      ...recording.facts,
      exposureSeconds: { value: 1 / 50, source: 'EXIF', others: [{ value: 1 / 2000, source: 'sidecar' }] },
      iso: { value: 100, source: 'EXIF', others: [{ value: 400, source: 'sidecar' }] },
      camera: { value: 'A', source: 'EXIF', others: [{ value: 'B', source: 'sidecar' }] },
    };
    expect(judge(judged({ ...recording, facts }))).toEqual([
      {
        kind: 'sources-disagree',
        weight: 'medium',
        fact: 'exposureSeconds',
        chosen: '1/50 s (EXIF)',
        other: '1/2000 s (sidecar)',
      },
      {
        kind: 'sources-disagree',
        weight: 'low',
        fact: 'iso',
        chosen: 'ISO 100 (EXIF)',
        other: 'ISO 400 (sidecar)',
      },
    ]);
  });
});

test('exposure times that disagree are written as everywhere else', () => {
  const exposureSeconds = { value: 0.28, source: 'EXIF', others: [{ value: 1 / 3, source: 'sidecar' }] };
  const recording = { ...still({}), facts: { exposureSeconds } };
  expect(judge(judged(recording))).toMatchObject([{ chosen: '0.28 s (EXIF)', other: '0.33 s (sidecar)' }]);
});

test('a picture that could be decoded only in part is said', () => {
  const measurement = measured([], { endedEarly: { atSeconds: 3, reason: 'data ends' } });
  expect(judge(judged(still({}), { measurement }))).toEqual([
    { kind: 'decoded-in-part', weight: 'medium', atSeconds: 3, reason: 'data ends' },
  ]);
});

test('whatever is recorded, no finding holds a number that is not finite, and the weightiest come first', () => {
  const positive = fc.option(fc.double({ min: 1e-6, max: 1e6, noNaN: true }), { nil: undefined });
  fc.assert(
    fc.property(positive, positive, fc.integer({ min: 1, max: 1000 }), (exposureSeconds, iso, rate) => {
      const facts = {
        ...(exposureSeconds !== undefined && { exposureSeconds }),
        ...(iso !== undefined && { iso }),
        frameRate: fps(rate),
      };
      const findings = judge(judged(clip(facts), { measurement: measured([]) }));
      const numbers = findings
        .flatMap((finding) => Object.values(finding))
        .filter((value) => typeof value === 'number');
      expect(numbers.filter((value) => !Number.isFinite(value))).toEqual([]);
      const order = findings.map(({ weight }) => ['high', 'medium', 'low'].indexOf(weight));
      expect(order).toEqual([...order].sort((a, b) => a - b));
    }),
  );
});

describe('frames and files', () => {
  test('uneven frame times are a remark, constant or unknown ones nothing', () => {
    const timed = (frameTiming: 'constant' | 'variable' | 'repeating') =>
      found(judged(clip({ frameTiming, irregularFrameFraction: 0.4 })));
    expect(timed('variable')).toEqual(['uneven-frames low']);
    expect(timed('repeating')).toEqual(['uneven-frames low']);
    expect(timed('constant')).toEqual([]);
    expect(found(judged(clip({})))).toEqual([]);
  });

  test('a file that goes on where another ends says which', () => {
    const part = { ...clip({}), continues: 'DCIM/100_AERO/CLIP0001.MP4' };
    expect(judge(judged(part))).toContainEqual({
      kind: 'split-part',
      weight: 'low',
      continuesPath: 'DCIM/100_AERO/CLIP0001.MP4',
    });
  });
});
