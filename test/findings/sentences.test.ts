import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  findingRemedy,
  findingText,
  findingTitle,
  type Finding,
  type FindingKind,
} from '../../src/findings/index.ts';

const exposureSeconds = fc.double({ min: 1e-5, max: 30, noNaN: true });
const angleDegrees = fc.double({ min: 0.01, max: 360, noNaN: true });
const offsetStops = fc.double({ min: -12, max: 12, noNaN: true });
const fraction = fc.double({ min: 0, max: 1, noNaN: true });
const seconds = fc.double({ min: 0, max: 40_000, noNaN: true });
const stops = fc.double({ min: 0.1, max: 12, noNaN: true });
const rate = fc.double({ min: 1, max: 960, noNaN: true });
const word = fc.stringMatching(/^[a-z0-9/ ]{0,12}[a-z0-9]$/);
const shutterNumbers = { exposureSeconds, targetSeconds: exposureSeconds, angleDegrees, offsetStops };

/** What a finding of each kind holds; a kind without its numbers does not compile. */
const details: { readonly [K in FindingKind]: Record<string, fc.Arbitrary<unknown>> } = {
  'shutter-short': shutterNumbers,
  'shutter-long': shutterNumbers,
  'shutter-edge': shutterNumbers,
  'shutter-impossible': { exposureSeconds, frameSeconds: exposureSeconds },
  'shutter-field-or-frame': {
    exposureSeconds,
    onFrameDegrees: angleDegrees,
    onFieldDegrees: angleDegrees,
  },
  'shutter-unknown': {
    missing: fc.constantFrom('exposure', 'frame-rate', 'unread-track', 'believable-exposure'),
    tracks: fc.array(word, { minLength: 1, maxLength: 5 }),
    refused: fc.record({ raw: word, source: word, reason: fc.constant('is not a number') }),
  },
  'highlights-clipped': {
    maxFraction: fraction,
    medianFraction: fraction,
    spanCount: fc.nat(9),
    startSeconds: seconds,
    endSeconds: seconds,
  },
  'disc-clipped': { maxFraction: fraction, shape: fc.constantFrom('disc', 'area') },
  'shadows-crushed': { maxFraction: fraction },
  'too-bright': {
    offsetStops,
    basis: fc.constantFrom('metered', 'picture'),
    leftOutStops: fc.constantFrom(undefined, 1.92),
  },
  'too-dark': { offsetStops, basis: fc.constantFrom('metered', 'picture') },
  'iso-raised': {
    iso: fc.integer({ min: 101, max: 409_600 }),
    baseIso: fc.integer({ min: 50, max: 800 }),
    overStops: offsetStops,
  },
  'exposure-drifts': { rangeStops: offsetStops },
  'exposure-pumps': {
    swings: fc.integer({ min: 2, max: 40 }),
    largestStops: fc.double({ min: 0.3, max: 5, noNaN: true }),
    basis: fc.constantFrom('recorded', 'picture'),
  },
  flicker: {
    flickerStops: fc.double({ min: 0.03, max: 2, noNaN: true }),
    mainsHertz: fc.constantFrom(50, 60),
    safeExposuresSeconds: fc.constantFrom([], [0.02, 0.01]),
  },
  'range-contradicted': {
    recorded: fc.constantFrom('narrow', 'full'),
    used: fc.constantFrom('narrow', 'full'),
  },
  'sources-disagree': {
    fact: fc.constantFrom('exposureSeconds', 'frameRate', 'iso'),
    chosen: word,
    other: word,
  },
  'shutter-short-by-blur': {
    highDegrees: fc.double({ min: 1, max: 170, noNaN: true }),
    targetDegrees: fc.constant(180),
  },
  'shutter-contradicted': {
    recordedDegrees: fc.double({ min: 1, max: 360, noNaN: true }),
    lowDegrees: fc.double({ min: 1, max: 200, noNaN: true }),
    highDegrees: fc.double({ min: 200, max: 360, noNaN: true }),
  },
  'uneven-frames': { timing: fc.constantFrom('variable', 'repeating'), irregularFraction: fraction },
  'split-part': { continuesPath: fc.constant('DCIM/100_AERO/CLIP0001.MP4') },
  'slow-motion': { captureFramesPerSecond: rate, playbackFramesPerSecond: rate },
  'frame-rate-mix': { framesPerSecond: rate, commonFramesPerSecond: rate },
  'filter-forgotten': { label: word, filterStops: stops, brighterStops: stops },
  'filter-contradicted': { label: word, filterStops: stops, lightStops: stops },
  'bracket-frame-missing': {
    frames: fc.integer({ min: 3, max: 9 }),
    missing: fc.constantFrom('darkest', 'brightest', 'between', 'darkest or brightest'),
  },
  'bracket-uneven': { smallestStops: stops, largestStops: stops },
  'bracket-settings-change': { settings: fc.constantFrom(['aperture'], ['ISO'], ['aperture', 'ISO']) },
  'bracket-highlights-lost': { fraction },
  'bracket-shadows-lost': { fraction },
  'series-exposure-short': {
    exposureSeconds,
    intervalSeconds: fc.double({ min: 0.5, max: 120, noNaN: true }),
    targetSeconds: fc.double({ min: 0.25, max: 60, noNaN: true }),
    camera: fc.constantFrom('moving', 'hovering', 'unknown'),
    discFraction: fraction,
  },
  'series-frames-dropped': {
    missingFrames: fc.integer({ min: 1, max: 99 }),
    gaps: fc.integer({ min: 1, max: 9 }),
    longestGapSeconds: seconds,
  },
  'series-exposure-steps': { count: fc.integer({ min: 1, max: 99 }), largestStops: stops },
  'series-highlights-clipped': {
    frames: fc.integer({ min: 1, max: 99 }),
    ofFrames: fc.integer({ min: 99, max: 999 }),
    maxFraction: fraction,
  },
  'series-too-bright': { offsetStops, basis: fc.constantFrom('metered', 'picture') },
  'series-too-dark': { offsetStops, basis: fc.constantFrom('metered', 'picture') },
  'decoded-in-part': { atSeconds: seconds, reason: word },
};

const context = fc.record(
  {
    matters: fc.constantFrom('yes', 'no', 'unknown'),
    recordingKind: fc.constantFrom('clip', 'still'),
    windowStops: fc.constant([-0.7, 0] as const),
  },
  { requiredKeys: [] },
);

test.each(Object.keys(details) as FindingKind[])(
  'findingText() has whole sentences for %s, whatever its numbers',
  (kind) => {
    const finding = fc.record({ kind: fc.constant(kind), weight: fc.constant('high'), ...details[kind] });
    fc.assert(
      fc.property(finding, context, (given, around) => {
        const text = findingText(given as unknown as Finding, around);
        expect(text).toMatch(/^[A-Z][^]*\.$/);
        expect(text).not.toMatch(/undefined|NaN|Infinity|\[object|e[+-]\d|\.\.|\u22120\.0 /);
        if (kind !== 'shutter-unknown' && kind !== 'sources-disagree') expect(text).toMatch(/\d/);
      }),
      { numRuns: 200 },
    );
    expect(findingTitle(kind)).toMatch(/^[A-Za-z ]+$/);
  },
);

test('findingText() for a short shutter names shutter, angle, rate, target and how far off', () => {
  // 360 × 25 × 1/800 = 11.25; log2(11.25 / 180) = -4
  const finding: Finding = {
    kind: 'shutter-short',
    weight: 'high',
    exposureSeconds: 1 / 800,
    targetSeconds: 1 / 50,
    angleDegrees: 11.25,
    offsetStops: -4,
  };
  const text = findingText(finding, { matters: 'yes' });
  for (const part of ['1/800 s', '11.3°', '25 fps', '180°', '1/50 s', '4 stops too short'])
    expect(text).toContain(part);
});

test('findingText() says what was left out of a brightness that the place of white may explain', () => {
  const finding: Finding = { kind: 'too-bright', weight: 'low', offsetStops: 0.8, basis: 'picture' };
  expect(findingText(finding)).toMatch(/^The picture is 0\.8 stops over, judged by its mean [^()]+\.$/);
  const open = findingText({ ...finding, leftOutStops: 1.92 });
  for (const part of ['at least 0.8 stops over', 'where the camera put white', '1.9 stops were left out'])
    expect(open).toContain(part);
});

test('findingText() says when motion is unknown, and says nothing of the kind when it is known', () => {
  const finding: Finding = {
    kind: 'shutter-long',
    weight: 'medium',
    exposureSeconds: 1 / 30,
    targetSeconds: 1 / 60,
    angleDegrees: 360,
    offsetStops: 1,
  };
  expect(findingText(finding)).toContain('is not known');
  expect(findingText(finding, { matters: 'no' })).toContain('hardly moves');
  expect(findingText(finding, { matters: 'yes' })).not.toContain('not known');
});

test('a damaged still is told by its share, and not by seconds', () => {
  const finding = {
    kind: 'decoded-in-part',
    weight: 'medium',
    atSeconds: 0,
    reason: 'premature end',
  } as const;
  const text = findingText({ ...finding, readFraction: 0.604 });
  expect(text).toContain('only about 60% of the picture could be read');
  expect(text).not.toMatch(/up to|premature/);
  expect(findingText({ ...finding, readFraction: 1 })).toContain('lacks detail');
});

test('findingText() makes foreign words safe to print', () => {
  const finding: Finding = {
    kind: 'decoded-in-part',
    weight: 'medium',
    atSeconds: 2,
    reason: '\u001b[2Jbad',
  };
  expect(findingText(finding)).toContain('\\x1b[2Jbad');
});

test('findingText() blames nobody where the exposure may have been recorded', () => {
  const unknown = { kind: 'shutter-unknown', weight: 'low' } as const;
  const tracks = ['a data track (abcd)', 'a text track'];
  expect(findingText({ ...unknown, missing: 'unread-track', tracks }, {})).toBe(
    'The clip comes with a data track (abcd) and a text track that Halfturn cannot read, so whether the exposure was ' +
      'recorded is not known, and neither is the shutter angle.',
  );
  const refused = { raw: '0', source: 'container tag shutter_ns', reason: 'is not a time' };
  expect(findingText({ ...unknown, missing: 'believable-exposure', refused }, {})).toBe(
    'The exposure time that was recorded (0, container tag shutter_ns) is not a time, so the shutter angle is unknown.',
  );
});

const raised: Finding = { kind: 'iso-raised', weight: 'low', iso: 400, baseIso: 100, overStops: 2 };
const bright: Finding = { kind: 'too-bright', weight: 'medium', offsetStops: 1, basis: 'metered' };

test('a finding asks for another filter only where no advice weighs all of them together', () => {
  expect(findingRemedy(raised).nextTime).toBe(
    'Set ISO 100 and a filter that is 2 stops weaker, if one was on.',
  );
  expect(findingRemedy(raised, { filterAdvised: true }).nextTime).toBe('Set ISO 100.');
  expect(findingRemedy(bright).nextTime).toContain('filter');
  expect(findingRemedy(bright, { filterAdvised: true })).not.toMatchObject({ nextTime: expect.anything() });
});

const burnt: Finding = {
  kind: 'highlights-clipped',
  weight: 'high',
  maxFraction: 0.2,
  medianFraction: 0.2,
  spanCount: 1,
  startSeconds: 0,
  endSeconds: 1.95,
};

test('a clip that burns from end to end is not said to be whole outside of it', () => {
  expect(findingRemedy(burnt, { recordingKind: 'clip', durationSeconds: 2 }).inTheEdit).toContain(
    'crop it out',
  );
  expect(findingRemedy(burnt, { recordingKind: 'clip', durationSeconds: 20 }).inTheEdit).toContain(
    'outside 0 s to 1.9 s nothing is burnt',
  );
});

test('a remark on the mean level of a picture changes no filter', () => {
  const remark: Finding = { kind: 'too-bright', weight: 'low', offsetStops: 1.4, basis: 'picture' };
  expect(findingRemedy(remark)).toEqual({ inTheEdit: 'Darken by 1.4 stops if it looks too bright.' });
});
