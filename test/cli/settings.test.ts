import { describe, expect, it } from 'vitest';
import { parseSettings, settingsWithAngle } from '../../src/cli/settings.ts';

const file = 'settings.toml';

describe('parseSettings()', () => {
  it('gives defaults and a common kit for an empty file', () => {
    const { limits, kit, kitAssumed } = parseSettings('', file);
    expect(limits).toMatchObject({ shutterAngleDegrees: 180, baseIso: 100, windowStops: [-0.7, 0] });
    expect(kitAssumed).toBe(true);
    expect(kit.map(({ label }) => label)).toContain('ND16');
  });

  it('reads a strength as stops, factor or density', () => {
    const { kit, kitAssumed } = parseSettings(
      `[[filter]]
       label = "eight"
       stops = 3
       [[filter]]
       label = "sixteen"
       factor = 16
       [[filter]]
       label = "thousand"
       density = 3.0`,
      file,
    );
    expect(kitAssumed).toBe(false);
    // Source for 9.9658: D 3.0 = log2(1000) stops, transmittance 10^-D.
    expect(kit.map(({ label, stops }) => [label, Number(stops.toFixed(4))])).toEqual([
      ['eight', 3],
      ['sixteen', 4],
      ['thousand', 9.9658],
    ]);
  });

  it('takes the zone of clocks that recorded none, summer time included', () => {
    const { usualZone } = parseSettings('zone = "Europe/Berlin"', file);
    expect([0, 5].map((month) => usualZone!(Date.UTC(2026, month, 1)))).toEqual([60, 120]);
    expect(parseSettings('', file).usualZone).toBeUndefined();
  });

  it("adds a polariser's measured loss to the strength", () => {
    const { kit } = parseSettings('[[filter]]\nlabel = "warm day"\nfactor = 8\npolariserStops = 1.5', file);
    expect(kit).toEqual([{ label: 'warm day', stops: 4.5, polariser: true }]);
  });

  it.each([
    [
      '[shutter]\nangle = 180',
      /settings\.toml, line 2: unknown key "angle" in shutter; allowed there: angleDegrees, toleranceStops/,
    ],
    ['shuter = 1', /unknown key "shuter" at the top; allowed there: zone, shutter, exposure, mains, filter/],
    [
      '[[filter]]\nlabel = "a"\nstops = 2\n[[filter]]\nlabel = "b"\nstrength = 2',
      /unknown key "strength" in filter\[2\]/,
    ],
    ['[shutter]\nangleDegrees = 400', /shutter\.angleDegrees/],
    ['[shutter]\nangleDegrees = ', /settings\.toml, line 2/],
    ['[[filter]]\nlabel = "a"\nstops = 2\nfactor = 4', /exactly one of stops, factor, density/],
    ['[[filter]]\nlabel = "a"\nstops = 2\n[[filter]]\nlabel = "A"\nstops = 3', /two filters are called "A"/],
    ['[exposure]\nwindowStops = [0, -0.7]', /must rise/],
    ['[mains]\nhertz = 55', /mains\.hertz/],
    ['zone = "here"', /zone: must be a time zone by its name/],
  ])('refuses %j with the place and what is allowed', (text, message) => {
    expect(() => parseSettings(text, file)).toThrow(message);
  });
});

describe('the kit of the settings', () => {
  const kitOf = (text: string) => parseSettings(`[[filter]]\nlabel = "F"\n${text}`, file).kit[0];

  it('adds a polariser whose loss was measured, takes a stop and a half where it was not', () => {
    // Uniform between 1 and 2 stops: a standard deviation of 1 / sqrt(12).
    expect(kitOf('polariser = true')).toEqual({
      label: 'F',
      stops: 1.5,
      polariser: true,
      spreadStops: expect.closeTo(0.2887, 4),
    });
    expect(kitOf('kind = "polariser"\npolariserStops = 1.36')).toEqual({
      label: 'F',
      stops: 1.36,
      polariser: true,
    });
    expect(kitOf('factor = 8\npolariserStops = 1.4')).toMatchObject({ stops: 4.4, polariser: true });
    expect(kitOf('stops = 3\npolariser = true')).toEqual({ label: 'F', stops: 3, polariser: true });
  });

  it('knows variable filters by their range and graduated ones by their kind', () => {
    expect(kitOf('stopsRange = [2, 5]')).toMatchObject({ stops: 2, rangeStops: [2, 5] });
    expect(kitOf('kind = "graduated"')).toEqual({ label: 'F', stops: 0, graduated: true });
  });

  it.each([
    ['stopsRange = [5, 2]', /must rise/],
    ['stopsRange = [2, 5]\nstops = 3', /not both/],
    ['kind = "variable"\nstops = 3', /stopsRange = \[2, 5\]/],
    ['kind = "nd"', /exactly one of stops, factor, density/],
    ['kind = "purple"', /filter\[1\]\.kind/],
  ])('refuses %j', (text, message) => expect(() => kitOf(text)).toThrow(message));

  it('reads what the camera can do', () => {
    const { limits } = parseSettings(
      '[camera]\nlongestExposureSeconds = 2\n[exposure]\nsecondBaseIso = 800',
      file,
    );
    expect(limits).toMatchObject({ longestExposureSeconds: 2, secondBaseIso: 800 });
  });
});

it('takes the chance that burnt highlights shall hold with, from even to nineteen of twenty', () => {
  const chance = (text: string) => parseSettings(text, file).limits.holdChance;
  expect(chance('')).toBe(0.8);
  expect(chance('[exposure]\nholdChance = 0.9')).toBe(0.9);
  expect(() => chance('[exposure]\nholdChance = 0.4')).toThrow(/exposure\.holdChance/);
  expect(() => chance('[exposure]\nholdChance = 1')).toThrow(/exposure\.holdChance/);
});

describe('settingsWithAngle()', () => {
  it('lets the flag win over the settings', () => {
    const settings = parseSettings('[shutter]\nangleDegrees = 172.8', file);
    expect(settingsWithAngle(settings, '144').limits.shutterAngleDegrees).toBe(144);
    expect(settingsWithAngle(settings, undefined).limits.shutterAngleDegrees).toBe(172.8);
  });

  it.each(['0', '361', 'half', ''])('refuses %j', (flag) => {
    expect(() => settingsWithAngle(parseSettings('', file), flag)).toThrow(/above 0 and at most 360/);
  });
});
