import { describe, expect, test } from 'vitest';
import type { FrameMeasure } from '../../src/domain/measurement.ts';
import type { RangeName, TransferName } from '../../src/domain/recording.ts';
import type { Frame } from '../../src/measuring/decoding/frame.ts';
import { planFrameMeter } from '../../src/measuring/frameMeter.ts';
import { everything } from '../everything.ts';
import { exposed, factsOf } from './encodeClip.ts';
import { randomNumbers, waveTexture } from './texture.ts';

// Frames with known truth at every range, depth and kind of ceiling: a texture well below the ceiling, and places that
// are lost. Codes: BT.709-6, item 4.6; BT.2100-2, table 9 (narrow 16 to 235 and 64 to 940, 256 to 3760 in 12 bits).

interface Footage {
  readonly name: string;
  readonly transfer?: TransferName;
  readonly bitDepth: number;
  /** What the file says. */
  readonly range?: RangeName;
  /** Codes of black and of what is lost. */
  readonly black: number;
  readonly lost: number;
  readonly basis: 'nominal' | 'observed' | 'super-white';
  readonly used: RangeName;
}

/** Where highlights are lost, as a signal: the peak, 1000 cd/m² (75.18% of PQ, ST 2084), or 80% of a log curve. */
const ends = [
  { curve: 'BT.709', transfer: 'bt709', signal: 1, basis: 'nominal' },
  { curve: 'HLG', transfer: 'hlg', signal: 1, basis: 'nominal' },
  { curve: 'PQ, the sensor ends at 1000 cd/m²', transfer: 'pq', signal: 0.751827, basis: 'observed' },
  { curve: 'a log curve that ends at 80%', transfer: 'bt709', signal: 0.8, basis: 'observed' },
  { curve: 'a curve that is not known', signal: 1, basis: 'nominal' },
] as const;
const ranges = { narrow: { black: 16, peak: 235 }, full: { black: 0, peak: 255 } } as const;

/** Every curve in both ranges and in 8, 10 and 12 bits. */
const everyKind: readonly Footage[] = ends.flatMap((end) =>
  (['narrow', 'full'] as const).flatMap((range) =>
    ([8, 10, 12] as const).map((bitDepth): Footage => {
      const scale = 2 ** (bitDepth - 8);
      const black = ranges[range].black * scale;
      const peak = range === 'narrow' ? 235 * scale : 256 * scale - 1;
      return {
        name: `${end.curve}, ${range}, ${bitDepth} bits`,
        transfer: 'transfer' in end ? end.transfer : undefined,
        bitDepth,
        range,
        black,
        lost: Math.round(black + end.signal * (peak - black)),
        basis: end.basis,
        used: range,
      };
    }),
  ),
);

const eightBits = { transfer: 'bt709', bitDepth: 8, black: 16, lost: 235 } as const;
const special: readonly Footage[] = [
  {
    ...eightBits,
    name: 'sRGB',
    transfer: 'srgb',
    range: 'full',
    black: 0,
    lost: 255,
    basis: 'nominal',
    used: 'full',
  },
  {
    ...eightBits,
    name: 'super-white up to 254',
    range: 'narrow',
    lost: 254,
    basis: 'observed',
    used: 'narrow',
  },
  {
    name: 'super-white up to 1019',
    transfer: 'bt709',
    bitDepth: 10,
    range: 'narrow',
    black: 64,
    lost: 1019,
    basis: 'observed',
    used: 'narrow',
  },
  {
    ...eightBits,
    name: 'full range in a file that says narrow',
    range: 'narrow',
    black: 0,
    lost: 255,
    basis: 'nominal',
    used: 'full',
  },
  {
    ...eightBits,
    name: 'full range in a file that says nothing',
    black: 0,
    lost: 255,
    basis: 'nominal',
    used: 'full',
  },
  {
    ...eightBits,
    name: 'narrow range in a file that says full',
    range: 'full',
    basis: 'nominal',
    used: 'narrow',
  },
];

const footage: readonly Footage[] = [...everyKind, ...special];

const size = { width: 480, height: 270 };
const area = size.width * size.height;

interface Lost {
  readonly name: string;
  readonly inside: (x: number, y: number) => boolean;
  readonly shape: 'disc' | 'area';
  readonly third: 'upper' | 'middle' | 'lower';
}

const round = (cx: number, cy: number, radius: number) => (x: number, y: number) =>
  Math.hypot(x - cx, y - cy) < radius;

const places: readonly Lost[] = [
  { name: 'a sky', inside: (x, y) => y < 40 + 10 * Math.sin(x / 40), shape: 'area', third: 'upper' },
  { name: 'a sun', inside: round(330, 60, 17), shape: 'disc', third: 'upper' },
  {
    name: 'a cloud',
    inside: (x, y) => Math.hypot((x - 200) / 3, y - 130) < 14,
    shape: 'area',
    third: 'middle',
  },
  {
    name: 'three lamps',
    inside: (x, y) => [90, 240, 400].some((cx) => round(cx, 150, 9)(x, y)),
    shape: 'disc',
    third: 'middle',
  },
  { name: 'snow', inside: (x, y) => y > 225 + 12 * Math.sin(x / 25), shape: 'area', third: 'lower' },
  { name: 'a glint on the water', inside: round(120, 230, 8), shape: 'disc', third: 'lower' },
];

const glowPixels = 10;

/** How far a place lies into the light around what is lost: 1 at its border, 0 from ten pixels away. */
function glowAround({ inside }: Lost): Float32Array {
  const glow = new Float32Array(area);
  for (let i = 0; i < area; i++) {
    const [x, y] = [i % size.width, Math.floor(i / size.width)];
    let nearest = glowPixels;
    for (let step = 1; step < nearest; step++)
      for (const [dx, dy] of [
        [step, 0],
        [-step, 0],
        [0, step],
        [0, -step],
      ] as const)
        if (inside(x + dx, y + dy)) nearest = step;
    glow[i] = 1 - nearest / glowPixels;
  }
  return glow;
}

const texture = waveTexture(5, 12);
/** What four frames of a moving camera see. */
const textures = [0, 1, 2, 3].map((at) =>
  Float32Array.from({ length: area }, (_, i) =>
    texture((i % size.width) - 3 * at, Math.floor(i / size.width)),
  ),
);
const glows = new Map(places.map((place) => [place, glowAround(place)]));

/**
 * Frames of a moving texture with noise. Light leads up to what is lost, as around every cloud and lamp, and what is
 * lost comes back from a lossy codec within a code.
 */
function* frames({ bitDepth, black, lost }: Footage, place: Lost): Generator<Frame> {
  const { inside } = place;
  const glow = glows.get(place) ?? new Float32Array(area);
  const random = randomNumbers(bitDepth + lost);
  const span = lost - black;
  const chroma = (size.width / 2) * (size.height / 2);
  const plane = (length: number) => (bitDepth === 8 ? new Uint8Array(length) : new Uint16Array(length));
  for (let at = 0; at < textures.length; at++) {
    const luma = plane(area);
    for (let i = 0; i < area; i++) {
      const [x, y] = [i % size.width, Math.floor(i / size.width)];
      // A hundredth of the picture is deep shadow, as in most pictures outdoors.
      const shadow = x < 30 && y > 100 && y < 160;
      const light = 0.42 + 0.1 * textures[at]![i]! + 0.02 * (random() - 0.5);
      const lit = light + (0.95 - light) * glow[i]!;
      const code = inside(x, y) ? lost - Math.floor(2 * random()) : black + (shadow ? 0 : lit * span);
      luma[i] = Math.round(code);
    }
    const grey = () => plane(chroma).fill(2 ** (bitDepth - 1));
    yield { ...size, bitDepth, atSeconds: at, luma, cb: grey(), cr: grey() };
  }
}

function measured(kind: Footage, lost: Lost) {
  const { transfer, bitDepth, range } = kind;
  const facts = factsOf({
    ...exposed,
    bitDepth,
    transfer,
    range,
  });
  const meter = planFrameMeter(facts, { ...size, bitDepth });
  for (const frame of frames(kind, lost)) meter.measure(frame);
  return meter.result();
}

function trueFraction({ inside }: Lost): number {
  let count = 0;
  for (let i = 0; i < area; i++) if (inside(i % size.width, Math.floor(i / size.width))) count++;
  return count / area;
}

/** Share of the picture: codes near the ceiling are all lost here, so nothing but counting can go wrong. */
const toleratedFraction = 0.002;

const thirdOf = ({ clippedThirds }: FrameMeasure): string | undefined =>
  clippedThirds && Object.entries(clippedThirds).toSorted(([, a], [, b]) => b - a)[0]![0];

// Stops below white: 0.5 of the light is one. Code 173 of 8 bits is signal 0.7169, light 0.5004 (BT.709-6, item 1.2).
test('head-room is how many stops the brightest part lies below where it would be lost', () => {
  const meter = planFrameMeter(factsOf({ ...exposed, transfer: 'bt709', range: 'narrow' }), {
    ...size,
    bitDepth: 8,
  });
  const chroma = () => new Uint8Array(area / 4).fill(128);
  const luma = new Uint8Array(area).fill(60);
  luma.fill(173, 0, area / 10);
  meter.measure({ ...size, bitDepth: 8, atSeconds: 0, luma, cb: chroma(), cr: chroma() });
  // The ceiling counts from 98% of the signal: light 0.956, 0.065 stop below white.
  expect(meter.result().frames[0]!.headroomStops).toBeCloseTo(1 - 0.065, 1);
  // A tenth of the picture at light 0.5004, the rest at code 60: signal 0.2009, light 0.0559.
  const { lightQuantilesStops } = meter.result().frames[0]!;
  expect(lightQuantilesStops!.p95).toBeCloseTo(Math.log2(0.5004 / 0.18), 1);
  expect(lightQuantilesStops!.p50).toBeCloseTo(Math.log2(0.0559 / 0.18), 1);
});

// Shares of the picture at codes 0, 4, 8 and 17 of footage by others: a broadcast with halos around its letters, a film
// whose blacks a grade pushed down; and shadows that end at 0.
test.each([
  [[0.0015, 0.003, 0.0012, 0.0041], 'narrow'],
  [[0, 0.0018, 0.0105, 0.0114], 'narrow'],
  [[0.006, 0, 0, 0.0044], 'full'],
] as const)('undershoots are no full range, black at 0 is: %o', (shares, name) => {
  const facts = factsOf({ ...exposed, transfer: 'bt709', range: 'narrow' });
  const meter = planFrameMeter(facts, { ...size, bitDepth: 8 });
  const luma = new Uint8Array(area).map((_, i) => 40 + (i % 150));
  let from = 0;
  for (const [i, code] of [0, 4, 8, 17].entries()) {
    const count = Math.round(shares[i]! * area);
    luma.fill(code, from, from + count);
    from += count;
  }
  const chroma = () => new Uint8Array(area / 4).fill(128);
  meter.measure({ ...size, bitDepth: 8, atSeconds: 0, luma, cb: chroma(), cr: chroma() });
  expect(meter.result().range.name).toBe(name);
});

test('one burnt channel is told from white: yellow of 100% burns red and green', () => {
  const meter = planFrameMeter(factsOf({ ...exposed, transfer: 'bt709', range: 'narrow' }), {
    ...size,
    bitDepth: 8,
  });
  // Y 219, Cb 16, Cr 138: BT.709-6, items 3.2 to 3.4, by arithmetic.
  const [luma, cb, cr] = [area, area / 4, area / 4].map((length, i) =>
    new Uint8Array(length).fill([219, 16, 138][i]!),
  );
  meter.measure({ ...size, bitDepth: 8, atSeconds: 0, luma: luma!, cb: cb!, cr: cr! });
  expect(meter.result().frames[0]).toMatchObject({
    clippedFraction: 0,
    channelClippedFraction: 1,
    burntChannels: { red: 1, green: 1, blue: 0 },
  });
});

describe.each(footage)('$name', (kind) => {
  // Two of the six places each, so that every place comes up with every curve.
  const row = footage.indexOf(kind);
  const some = places.filter((_, at) => everything || (at + row) % 3 === 0);

  test.each(some)('$name: how much is lost, of which kind, and where', (lost) => {
    const { frames: found, ceiling, range } = measured(kind, lost);
    expect(range.name).toBe(kind.used);
    expect(ceiling.basis).toBe(kind.basis);
    expect(found).toHaveLength(4);
    for (const frame of found) {
      expect(Math.abs(frame.clippedFraction - trueFraction(lost))).toBeLessThan(toleratedFraction);
      expect(frame.clippedShape).toBe(lost.shape);
      expect(thirdOf(frame)).toBe(lost.third);
    }
  });

  test('a picture without lost places has none', () => {
    const nothing: Lost = { name: 'nothing', inside: () => false, shape: 'area', third: 'upper' };
    for (const frame of measured(kind, nothing).frames) expect(frame.clippedFraction).toBe(0);
  });
});

test('no row of the tables is left out', () => {
  // Five curves, two ranges, three depths.
  expect([everyKind.length, special.length, places.length]).toEqual([5 * 2 * 3, 6, 6]);
});
