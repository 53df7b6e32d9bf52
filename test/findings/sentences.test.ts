import fc from 'fast-check';
import { expect, test } from 'vitest';
import { z } from 'zod';
import {
  findingRemedy,
  findingText,
  findingTitle,
  flightFindings,
  recordingFindings,
  sequenceFindings,
  type Finding,
} from '../../src/findings/index.ts';

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const whole = (min: number, max: number) => fc.integer({ min, max });
const word = fc.stringMatching(/^[a-z0-9/ ]{0,12}[a-z0-9]$/);

/** Numbers by the unit that their name says, the first that fits. */
const numbers: readonly (readonly [name: RegExp, numbers: fc.Arbitrary<number>])[] = [
  [/^(?:startSeconds|endSeconds|atSeconds|longestGapSeconds)$/, between(0, 40_000)],
  [/^intervalSeconds$/, between(0.5, 120)],
  [/Seconds$/, between(1e-5, 30)],
  [/^targetDegrees$/, fc.constant(180)],
  [/Degrees$/, between(0.01, 360)],
  [/^(?:offsetStops|overStops|rangeStops)$/, between(-12, 12)],
  [/Stops$/, between(0.1, 12)],
  [/[fF]raction$/, between(0, 1)],
  [/PerSecond$/, between(1, 960)],
  [/Pixels$/, between(1, 100)],
  [/[iI]so$/, whole(50, 409_600)],
  [/Hertz$/, fc.constantFrom(50, 60)],
  [/^ofFrames$/, whole(99, 999)],
  [/^(?:swings|frames)$/, whole(3, 40)],
  [/^(?:spanCount|missingFrames|gaps|count)$/, whole(1, 99)],
];

/** What the schema of a finding's data allows. */
function valuesOf(name: string, schema: z.core.$ZodType): fc.Arbitrary<unknown> {
  if (schema instanceof z.ZodOptional) return fc.option(valuesOf(name, schema.unwrap()), { nil: undefined });
  if (schema instanceof z.ZodNonOptional) {
    const inner = schema.unwrap();
    return valuesOf(name, inner instanceof z.ZodOptional ? inner.unwrap() : inner);
  }
  if (schema instanceof z.ZodReadonly) return valuesOf(name, schema.unwrap());
  if (schema instanceof z.ZodEnum) return fc.constantFrom(...schema.options);
  if (schema instanceof z.ZodLiteral) return fc.constantFrom(...schema.values);
  if (schema instanceof z.ZodBoolean) return fc.boolean();
  if (schema instanceof z.ZodArray)
    return fc.array(valuesOf(name, schema.element), { minLength: 1, maxLength: 3 });
  if (schema instanceof z.ZodObject)
    return fc.record(
      Object.fromEntries(
        Object.entries(schema.shape).map(([key, part]) => [key, valuesOf(key, part as z.core.$ZodType)]),
      ),
    );
  if (schema instanceof z.ZodString) return word;
  const known = numbers.find(([pattern]) => pattern.test(name));
  if (!(schema instanceof z.ZodNumber) || known === undefined)
    throw new Error(`Which values has ${name}? Its unit belongs in its name and in the table above.`);
  return known[1];
}

const withoutNumbers: ReadonlySet<string> = new Set([
  'decoded-in-part',
  'not-a-scene',
  'shutter-unknown',
  'sources-disagree',
  'split-part',
  'uneven-frames',
]);

const context = fc.record(
  {
    matters: fc.constantFrom('yes', 'no', 'unknown'),
    recordingKind: fc.constantFrom('clip', 'still'),
    windowStops: fc.constant([-0.7, 0] as const),
  },
  { requiredKeys: [] },
);

const findings = [...recordingFindings, ...flightFindings, ...sequenceFindings];

test.each(findings.map(({ kind, data }) => ({ kind, data })))(
  'findingText() has whole sentences for $kind, whatever its numbers',
  ({ kind, data }) => {
    // What it says of a refused value and of unread tracks rests on their being given.
    const given = kind === 'shutter-unknown' ? data.required() : data;
    const finding = valuesOf('', given).map((values) => ({
      kind,
      weight: 'high',
      ...(values as object),
    }));
    fc.assert(
      fc.property(finding, context, (values, about) => {
        const text = findingText(values as unknown as Finding, about);
        expect(text).toMatch(/^[A-Z][^]*\.$/);
        expect(text).not.toMatch(/undefined|NaN|Infinity|\[object|e[+-]\d|\.\.|\u22120\.0 /);
        if (!withoutNumbers.has(kind)) expect(text).toMatch(/\d/);
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

test('findingText() calls no part of 16% a fleck, and a fleck asks nothing of the next flight', () => {
  const burnt = { kind: 'highlights-clipped', medianFraction: 0, spanCount: 0 } as const;
  const large: Finding = { ...burnt, weight: 'high', maxFraction: 0.33, largestFraction: 0.16 };
  expect(findingText(large, { recordingKind: 'still' })).toContain('in parts of up to 16%');
  const small: Finding = { ...burnt, weight: 'low', maxFraction: 0.014, largestFraction: 0.0025 };
  expect(findingText(small, { recordingKind: 'still' })).toContain('in flecks of up to 0.25%');
  expect(findingRemedy(small)).toEqual({ inTheEdit: 'Let it be white.' });
});

test('findingRemedy() brightens a dark picture by no more than its brightest parts allow', () => {
  const dark: Finding = { kind: 'too-dark', weight: 'medium', offsetStops: -4.6, basis: 'picture' };
  expect(findingRemedy({ ...dark, roomStops: 2.1 }).inTheEdit).toMatch(
    /^Brighten by 2\.1 stops, and denoise/,
  );
  expect(findingRemedy({ ...dark, weight: 'low', roomStops: 1.4 }).inTheEdit).toMatch(
    /^Brighten by 1\.4 stops at most/,
  );
  expect(findingRemedy({ ...dark, weight: 'low', roomStops: 0.1 }).inTheEdit).toContain(
    'lift the shadows only',
  );
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

test('a remedy quotes the advice on the whole recording and asks for nothing of its own', () => {
  const advised = { sentence: 'Let in 1 stop less light: 1/500 s (\u22121.0 stop).', mayBeDarker: true };
  for (const finding of [raised, bright, burnt, colourless])
    expect(findingRemedy(finding, { advised }).nextTime).toBe(advised.sentence);
});

test('where the filter advice says it, remedies name no filter, and nothing darker than it wants', () => {
  const advised = { mayBeDarker: false };
  expect(findingRemedy(raised, { advised }).nextTime).toBe('Set ISO 100.');
  expect(findingRemedy(raised, { advised: { ...advised, needsIso: true } }).nextTime).toBe(
    'Keep ISO as low as the light allows.',
  );
  expect(findingRemedy(bright, { advised })).not.toMatchObject({ nextTime: expect.anything() });
  expect(findingRemedy(burnt, { advised })).not.toMatchObject({ nextTime: expect.anything() });
  expect(findingRemedy(colourless, { advised }).nextTime).not.toContain('darker');
  expect(findingRemedy(colourless, { advised: { mayBeDarker: true } }).nextTime).toContain('darker');
});

test('a raised ISO blames no filter for a still, nor for low light', () => {
  expect(findingText(raised, { recordingKind: 'clip' })).toContain('the filter was too strong');
  expect(findingText(raised, { recordingKind: 'still' })).not.toContain('filter');
  const inLowLight = { recordingKind: 'clip', advised: { mayBeDarker: true, light: 'low' } } as const;
  expect(findingText(raised, inLowLight)).not.toContain('filter');
  expect(findingText({ ...raised, shutterTookIt: true }, { recordingKind: 'clip' })).not.toContain('filter');
});

test('what was dialled in is a part of the sentence', () => {
  const over: Finding = { kind: 'too-bright', weight: 'low', offsetStops: 1.3, basis: 'picture' };
  expect(findingText({ ...over, dialledStops: 0.7 })).toContain('1.3 stops over');
  expect(findingText({ ...over, dialledStops: 0.7 })).toMatch(/; \+0\.7 of that was dialled in\.$/);
  expect(findingText({ ...over, dialledStops: 2 })).toMatch(/; \+2\.0 was dialled in\.$/);
  expect(findingText({ ...over, dialledStops: -1 })).toMatch(/, although \u22121\.0 was dialled in\.$/);
});

test('a black picture is not believed to be 22 stops under', () => {
  const black: Finding = { kind: 'too-dark', weight: 'low', offsetStops: -22.1, basis: 'picture' };
  expect(findingText(black)).toContain('more than an exposure goes wrong by');
  expect(findingRemedy(black)).toEqual({ inTheEdit: 'Look at it before you change anything.' });
});

const colourless: Finding = {
  kind: 'channel-clipped',
  weight: 'low',
  maxFraction: 0.05,
  channels: ['red'],
};

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
    'leave out 0 s to 1.9 s',
  );
});

test('two or three stretches that burn are named, more of them counted', () => {
  const spans = [
    { startSeconds: 0, endSeconds: 1.2 },
    { startSeconds: 6, endSeconds: 8 },
  ];
  const context = { recordingKind: 'clip', durationSeconds: 20 } as const;
  const few: Finding = { ...burnt, spanCount: 2, spans, burntSeconds: 3.2 };
  expect(findingText(few, context)).toContain(', from 0 s to 1.2 s and 6 s to 8 s.');
  expect(findingRemedy(few, context).inTheEdit).toContain('leave out 0 s to 1.2 s and 6 s to 8 s');
  expect(findingText({ ...burnt, spanCount: 5, burntSeconds: 7.5 }, context)).toContain(
    ', in 5 stretches, 7.5 s in all.',
  );
  // Most of it burns.
  expect(findingRemedy({ ...few, burntSeconds: 12 }, context).inTheEdit).toContain('crop it out');
});

test('a remark on the mean level of a picture changes no filter', () => {
  const remark: Finding = { kind: 'too-bright', weight: 'low', offsetStops: 1.4, basis: 'picture' };
  expect(findingRemedy(remark)).toEqual({ inTheEdit: 'Darken by 1.4 stops if it looks too bright.' });
});
