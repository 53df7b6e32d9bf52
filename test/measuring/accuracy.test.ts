import { describe, expect, test } from 'vitest';
import type { FrameMeasure } from '../../src/domain/measurement.ts';
import type { RangeName, TransferName } from '../../src/domain/recording.ts';
import { planFrameMeter } from '../../src/measuring/frameMeter.ts';
import type { MeteredFrames } from '../../src/measuring/frameMeter.ts';
import type { Frame } from '../../src/measuring/frames.ts';
import { factsOf } from './encodeClip.ts';
import { randomNumbers, waveTexture } from './texture.ts';

// Frames with known truth at every range, depth and kind of ceiling: a texture well below the ceiling, and places that
// are lost. Codes: BT.709-6, item 4.6; BT.2100-2, table 9 (narrow 16 to 235 and 64 to 940, 256 to 3760 in 12 bits).

interface Footage {
  readonly name: string;
  readonly transfer: TransferName;
  readonly bitDepth: number;
  /** What the file says. */
  readonly range?: RangeName;
  /** Codes of black and of what is lost. */
  readonly black: number;
  readonly lost: number;
  readonly basis: 'nominal' | 'observed' | 'super-white';
  readonly used: RangeName;
}

const footage: readonly Footage[] = [
  {
    name: 'BT.709 narrow 8',
    transfer: 'bt709',
    bitDepth: 8,
    range: 'narrow',
    black: 16,
    lost: 235,
    basis: 'nominal',
    used: 'narrow',
  },
  {
    name: 'BT.709 narrow 10',
    transfer: 'bt709',
    bitDepth: 10,
    range: 'narrow',
    black: 64,
    lost: 940,
    basis: 'nominal',
    used: 'narrow',
  },
  {
    name: 'BT.709 narrow 12',
    transfer: 'bt709',
    bitDepth: 12,
    range: 'narrow',
    black: 256,
    lost: 3760,
    basis: 'nominal',
    used: 'narrow',
  },
  {
    name: 'BT.709 full 8',
    transfer: 'bt709',
    bitDepth: 8,
    range: 'full',
    black: 0,
    lost: 255,
    basis: 'nominal',
    used: 'full',
  },
  {
    name: 'BT.709 full 10',
    transfer: 'bt709',
    bitDepth: 10,
    range: 'full',
    black: 0,
    lost: 1023,
    basis: 'nominal',
    used: 'full',
  },
  {
    name: 'sRGB full 8',
    transfer: 'srgb',
    bitDepth: 8,
    range: 'full',
    black: 0,
    lost: 255,
    basis: 'nominal',
    used: 'full',
  },
  {
    name: 'HLG narrow 10',
    transfer: 'hlg',
    bitDepth: 10,
    range: 'narrow',
    black: 64,
    lost: 940,
    basis: 'nominal',
    used: 'narrow',
  },
  {
    name: 'PQ narrow 10, the sensor ends at 1000 cd/m²',
    transfer: 'pq',
    bitDepth: 10,
    range: 'narrow',
    black: 64,
    lost: 723,
    basis: 'observed',
    used: 'narrow',
  },
  {
    name: 'a log curve that ends at 80 %',
    transfer: 'bt709',
    bitDepth: 10,
    range: 'narrow',
    black: 64,
    lost: 765,
    basis: 'observed',
    used: 'narrow',
  },
  {
    name: 'super-white up to 254',
    transfer: 'bt709',
    bitDepth: 8,
    range: 'narrow',
    black: 16,
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
    name: 'full range in a file that says narrow',
    transfer: 'bt709',
    bitDepth: 8,
    range: 'narrow',
    black: 0,
    lost: 255,
    basis: 'nominal',
    used: 'full',
  },
  {
    name: 'full range in a file that says nothing',
    transfer: 'bt709',
    bitDepth: 8,
    black: 0,
    lost: 255,
    basis: 'nominal',
    used: 'full',
  },
  {
    name: 'narrow range in a file that says full',
    transfer: 'bt709',
    bitDepth: 8,
    range: 'full',
    black: 16,
    lost: 235,
    basis: 'nominal',
    used: 'narrow',
  },
];

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

/** Frames of a moving texture with noise; what is lost comes back from a lossy codec within a code. */
function* frames({ bitDepth, black, lost }: Footage, { inside }: Lost): Generator<Frame> {
  const random = randomNumbers(bitDepth + lost);
  const texture = waveTexture(5, 12);
  const span = lost - black;
  const chroma = (size.width / 2) * (size.height / 2);
  const plane = (length: number) => (bitDepth === 8 ? new Uint8Array(length) : new Uint16Array(length));
  for (let at = 0; at < 4; at++) {
    const luma = plane(area);
    for (let i = 0; i < area; i++) {
      const [x, y] = [i % size.width, Math.floor(i / size.width)];
      // A hundredth of the picture is deep shadow, as in most pictures outdoors.
      const shadow = x < 30 && y > 100 && y < 160;
      const light = 0.42 + 0.1 * texture(x - 3 * at, y) + 0.02 * (random() - 0.5);
      const code = inside(x, y) ? lost - Math.floor(2 * random()) : black + (shadow ? 0 : light * span);
      luma[i] = Math.round(code);
    }
    const grey = () => plane(chroma).fill(2 ** (bitDepth - 1));
    yield { ...size, bitDepth, atSeconds: at, luma, cb: grey(), cr: grey() };
  }
}

function measured(kind: Footage, lost: Lost): MeteredFrames {
  const { transfer, bitDepth, range } = kind;
  const facts = factsOf({ transfer, bitDepth, ...(range === undefined ? {} : { range }) });
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
  const meter = planFrameMeter(factsOf({ transfer: 'bt709', range: 'narrow' }), { ...size, bitDepth: 8 });
  const chroma = () => new Uint8Array(area / 4).fill(128);
  const luma = new Uint8Array(area).fill(60);
  luma.fill(173, 0, area / 10);
  meter.measure({ ...size, bitDepth: 8, atSeconds: 0, luma, cb: chroma(), cr: chroma() });
  // The ceiling counts from 98 % of the signal: light 0.956, 0.065 stop below white.
  expect(meter.result().frames[0]!.headroomStops).toBeCloseTo(1 - 0.065, 1);
  // A tenth of the picture at light 0.5004, the rest at code 60: signal 0.2009, light 0.0559.
  const { lightQuantilesStops } = meter.result().frames[0]!;
  expect(lightQuantilesStops!.p95).toBeCloseTo(Math.log2(0.5004 / 0.18), 1);
  expect(lightQuantilesStops!.p50).toBeCloseTo(Math.log2(0.0559 / 0.18), 1);
});

test('one burnt channel is told from white: yellow of 100 % burns red and green', () => {
  const meter = planFrameMeter(factsOf({ transfer: 'bt709', range: 'narrow' }), { ...size, bitDepth: 8 });
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
  test.each(places)('$name: how much is lost, of which kind, and where', (lost) => {
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
  expect([footage.length, places.length]).toEqual([14, 6]);
});
