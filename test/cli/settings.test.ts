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

  it("adds a polariser's measured loss to the strength", () => {
    const { kit } = parseSettings('[[filter]]\nlabel = "warm day"\nfactor = 8\npolariserStops = 1.5', file);
    expect(kit).toEqual([{ label: 'warm day', stops: 4.5, polariser: true }]);
  });

  it.each([
    [
      '[shutter]\nangle = 180',
      /settings\.toml: unknown key "angle" in shutter; allowed there: angleDegrees, toleranceStops/,
    ],
    ['shuter = 1', /unknown key "shuter" at the top; allowed there: shutter, exposure, mains, filter/],
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
  ])('refuses %j with the place and what is allowed', (text, message) => {
    expect(() => parseSettings(text, file)).toThrow(message);
  });
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
