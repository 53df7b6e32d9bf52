import { describe, expect, it } from 'vitest';
import { CLIPS } from '../sample-media-generator/clips.ts';
import { frameExposures } from '../sample-media-generator/exposureTrack.ts';
import { highlightLight } from '../sample-media-generator/highlights.ts';
import { developVideo, packingFor } from '../sample-media-generator/picture.ts';
import type { ClipPlan, Encoding } from '../sample-media-generator/plan.ts';
import { angleDegrees, rational } from '../sample-media-generator/rational.ts';
import { subRip } from '../sample-media-generator/subrip.ts';
import { bt709, hlg, srgb } from '../sample-media-generator/transferCurves.ts';
import { applyPixelAperture, blankPicture, expose } from '../sample-media-generator/view.ts';

/** The sample card is the ruler for the measuring code, so the ruler is checked against standards and geometry. */

describe('transfer curves of the sample card', () => {
  it('bt709() gives 0.409007728864150 for 0.18 (colour-science, test_itur_bt_709.py)', () => {
    expect(bt709(0.18)).toBeCloseTo(0.40900772886415, 7);
  });
  it('hlg() gives 0.212132034355964 for 0.18 / 12 (colour-science, test_itur_bt_2100.py)', () => {
    expect(hlg(0.18 / 12)).toBeCloseTo(0.212132034355964, 7);
  });
  it('srgb() gives 0.461356 for 0.18 (derived by hand from IEC 61966-2-1)', () => {
    expect(srgb(0.18)).toBeCloseTo(0.461356, 6);
  });
  it.each([bt709, hlg, srgb])('%o reaches 1 at the nominal peak and 0 at black', (curve) => {
    expect(curve(1)).toBeCloseTo(1, 6);
    expect(curve(0)).toBe(0);
  });
});

describe('developVideo()', () => {
  const flat = (light: number, encoding: Encoding) => {
    const picture = blankPicture(2, 2);
    picture.light.fill(light);
    const developed = developVideo(picture, { gain: 1, added: undefined }, packingFor(encoding));
    const { buffer } = developed.bytes;
    return { ...developed, codes: encoding.startsWith('hevc') ? new Uint16Array(buffer) : developed.bytes };
  };

  // Code values of ITU-R BT.709-6 item 3.4 and BT.2100-2 table 9; 18% grey from colour-science's 0.4090.
  it.each<[Encoding, number, number, number]>([
    ['h264', 0, 16, 128],
    ['h264', 0.18, 106, 128],
    ['h264', 1, 235, 128],
    ['h264', 5, 235, 128],
    ['h264-full-range', 0.18, 104, 128],
    ['h264-full-range', 1, 255, 128],
    ['hevc-10', 0.18, 422, 512],
    ['hevc-10', 1, 940, 512],
    ['hevc-10-hlg', 1, 940, 512],
  ])('codes %s light %d as luma %d and chroma %d', (encoding, light, luma, chroma) => {
    expect([...flat(light, encoding).codes]).toEqual([luma, luma, luma, luma, chroma, chroma]);
  });

  it('counts a pixel as clipped only where all three channels reach the peak', () => {
    const picture = blankPicture(2, 2);
    picture.light.set([1, 1, 1, 1, 1, 0.999, 2, 2, 2, 0.5, 0.5, 0.5]);
    expect(developVideo(picture, { gain: 1, added: undefined }, packingFor('h264')).clippedFraction).toBe(
      0.5,
    );
  });
});

describe('expose()', () => {
  const edge = () => {
    const scene = blankPicture(64, 4);
    for (let at = 0; at < scene.light.length; at++) scene.light[at] = Math.floor(at / 3) % 64 < 32 ? 0 : 1;
    return scene;
  };
  const row = (smear: number) => {
    const target = blankPicture(50, 1);
    expose(target, edge(), { at: { x: 6, y: 1 }, stride: 1, smear: { x: smear, y: 0 } });
    return Array.from({ length: 50 }, (_, x) => target.light[x * 3]!);
  };

  it('leaves an edge alone where nothing moved', () => {
    expect(row(0)).toEqual(Array.from({ length: 50 }, (_, x) => (x + 6 < 32 ? 0 : 1)));
  });
  it.each([3, 5, 8, 12])('turns an edge into a ramp of the length of the way, %d samples', (smear) => {
    const ramp = row(smear);
    // The spread of a box of length L is L^2/12; a bilinear look adds at most 1/4 for the sample's own width.
    const steps = ramp.slice(1).map((light, x) => ({ x, weight: light - ramp[x]! }));
    const mean = steps.reduce((sum, { x, weight }) => sum + x * weight, 0);
    const variance = steps.reduce((sum, { x, weight }) => sum + (x - mean) ** 2 * weight, 0);
    expect(steps.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 5);
    expect(variance).toBeGreaterThan((smear * smear) / 12 - 0.05);
    expect(variance).toBeLessThan((smear * smear) / 12 + 0.25);
  });
  it('moves content by fractions of a sample without losing light', () => {
    const target = blankPicture(4, 1);
    expose(target, edge(), { at: { x: 29.25, y: 1 }, stride: 1, smear: { x: 0, y: 0 } });
    expect([0, 1, 2, 3].map((x) => target.light[x * 3]!)).toEqual([0, 0, 0.25, 1]);
  });
  it('applyPixelAperture() averages the four samples of a pixel', () => {
    const picture = blankPicture(3, 3);
    [4, 8, 12, 16].forEach((light, part) =>
      picture.light.fill(light, ((part >> 1) * 3 + (part & 1)) * 3, ((part >> 1) * 3 + (part & 1)) * 3 + 3),
    );
    applyPixelAperture(picture);
    expect(picture.light[0]).toBe(10);
  });
});

describe('highlightLight()', () => {
  const burntShare = (shape: 'disc' | 'area', region: 'top' | 'left' | 'corner', fraction: number) => {
    const added = highlightLight({ shape, region, fraction }, { width: 480, height: 270 });
    return added.filter((light) => light >= 1).length / added.length;
  };
  it('makes a disc of the area asked for', () => {
    expect(burntShare('disc', 'corner', 0.01)).toBeCloseTo(0.01, 3);
  });
  it.each(['top', 'left', 'corner'] as const)(
    'makes a ragged area of about the size asked for: %s',
    (region) => {
      expect(burntShare('area', region, 0.1)).toBeGreaterThan(0.085);
      expect(burntShare('area', region, 0.1)).toBeLessThan(0.115);
    },
  );
  it('leaves nothing between ordinary light and burnt but a thin edge', () => {
    const added = highlightLight(
      { shape: 'area', region: 'top', fraction: 0.2 },
      { width: 480, height: 270 },
    );
    const between = added.filter((light) => light > 0.25 && light < 1.5).length;
    expect(between).toBeLessThan(480 * 3);
  });
});

describe('the plan of the sample card', () => {
  // By definition of the shutter angle: half of the frame interval is 180 degrees.
  it.each([
    ['24', '1/48', 180],
    ['25', '1/50', 180],
    ['24', '1/50', 172.8],
    ['50', '1/60', 300],
    ['30', '1/25', 432],
    ['1/5', '1/2', 36],
  ])('angleDegrees() at %s frames/s and %s s is %d', (rate, exposure, degrees) => {
    expect(angleDegrees({ rate: rational(rate), exposure: rational(exposure) })).toBeCloseTo(degrees, 10);
  });
  it('covers the usual frame rates, encodings and carriers', () => {
    const seen = (pick: (clip: ClipPlan) => readonly string[]) =>
      new Set(CLIPS.flatMap((clip) => pick(clip)));
    expect([...seen(({ rate }) => [rate])].toSorted()).toEqual(
      ['120', '24', '24000/1001', '25', '30', '30000/1001', '50', '60000/1001'].toSorted(),
    );
    expect(seen(({ encoding }) => [encoding]).size).toBe(4);
    expect(seen(({ carriers }) => carriers.map((carrier) => carrier.in)).size).toBe(4);
  });
  it('names no file twice', () => {
    expect(new Set(CLIPS.map(({ file }) => file)).size).toBe(CLIPS.length);
  });
});

describe('subRip()', () => {
  const planOf = (number: string) => CLIPS.find(({ file }) => file.includes(number))!;

  it('covers a clip from its first frame to its end without gaps', () => {
    const text = subRip(planOf('CLIP0004'), { arrangement: 'lines' });
    expect([...text.matchAll(/(\S+) --> (\S+)/g)].map(([, from, to]) => [from, to])).toEqual([
      ['00:00:00,000', '00:00:01,000'],
      ['00:00:01,000', '00:00:02,002'],
    ]);
  });
  it('has one cue a frame where the exposure drifts, from the first exposure to the last', () => {
    const plan = planOf('CLIP0010');
    const shutters = [
      ...subRip(plan, { arrangement: 'pairs', everyFrame: true }).matchAll(/shutter: (\S+)/g),
    ];
    expect(shutters).toHaveLength(96);
    expect([shutters[0]?.[1], shutters.at(-1)?.[1]]).toEqual(['1/400.0', '1/100.0']);
    expect(shutters.map(([, text]) => text)).toEqual(frameExposures(plan).map(({ text }) => text));
  });
  it('writes the contradicting exposure where one is planted', () => {
    expect(subRip(planOf('CLIP0020'), { arrangement: 'pairs' }, '1/120')).toContain('shutter: 1/120 ');
  });
});
