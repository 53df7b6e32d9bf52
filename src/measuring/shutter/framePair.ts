import type { RangeName, TransferName } from '../../domain/recording.ts';
import { encodePq, lightOfSignal } from '../../domain/transferCurves.ts';
import type { Luma } from '../luma.ts';
import type { Shift } from '../motion/phaseCorrelation.ts';
import { codeRange } from '../videoCodes.ts';

/** The luma of one picture as it was coded. */
export interface LumaPlane {
  readonly width: number;
  readonly height: number;
  /** Bits of a code: 8 to 16. */
  readonly bitDepth: number;
  readonly range: RangeName;
  /** Absent where the curve is not known; the codes are then analysed as they are. */
  readonly transfer?: TransferName;
  readonly atSeconds: number;
  readonly codes: Uint8Array | Uint16Array;
}

/** Two consecutive pictures of one clip. */
export interface FramePair {
  readonly first: LumaPlane;
  readonly second: LumaPlane;
}

/** Mean difference, in 8-bit codes, below which two frames are one frame shown twice: sensor noise alone is more. */
const repeatedCodes = 0.35;
const sampleStep = 31;

/** Whether a pair shows one picture twice. A recoded repeat differs by the codec's rounding at most. */
export function isRepeated({ first, second }: FramePair): boolean {
  return meanDifferenceCodes(first, second) < repeatedCodes;
}

function meanDifferenceCodes(first: LumaPlane, second: LumaPlane): number {
  let sum = 0;
  let count = 0;
  for (let i = 0; i < first.codes.length; i += sampleStep, count++)
    sum += Math.abs(first.codes[i]! - second.codes[i]!);
  return sum / count / 2 ** (first.bitDepth - 8);
}

// A picture mixed from two neighbours is softer than a picture that stands alone, so sharpness beats with the rate of
// the conversion. Codecs make frames differ too, but at the finest detail: differences four pixels apart hold still.

const reach = 4;
const columnStep = 4;
const rowStep = 3;
const border = 8;

/** How far the two pictures of a pair differ in sharpness: stops of gradient energy, >= 0. */
export function sharpnessGapStops({ first, second }: FramePair): number {
  return Math.abs(Math.log2(gradientEnergy(first) / gradientEnergy(second)));
}

function gradientEnergy({ codes, width, height }: LumaPlane): number {
  let sum = 1;
  for (let y = border; y < height - border; y += rowStep) {
    for (let x = border, at = y * width + border; x < width - border; x += columnStep, at += columnStep) {
      const across = codes[at + reach]! - codes[at]!;
      const down = codes[at + reach * width]! - codes[at]!;
      sum += across * across + down * down;
    }
  }
  return sum;
}

/** Side of the squares that are followed from picture to picture. */
export const tileSize = 128;

/** One picture in units of light, halved some times. Only what is asked for is ever in memory. */
export interface LightPlane {
  readonly width: number;
  readonly height: number;
  /** The tile whose upper left corner stands at a place inside; overwritten by the next. */
  readonly tile: (at: Shift) => Luma;
  /** The whole, shrunk further: good enough to search in. */
  readonly shrunk: (factor: number) => Luma;
}

/** A pair of pictures in units of light at several sizes. */
export interface PairLevels {
  readonly pair: FramePair;
  /** Halved `level` times. */
  readonly at: (level: number) => { readonly first: LightPlane; readonly second: LightPlane };
}

/** Blocks from this size on have codes enough to leave out every other row and column. */
const leastSkippedBlock = 4;

/** Prepares pairs of one size, which share memory. */
export function planPairLevels(): (pair: FramePair) => PairLevels {
  const planeOf = [planLight(), planLight()] as const;
  return (pair) => ({
    pair,
    at: (level) => ({ first: planeOf[0](pair.first, level), second: planeOf[1](pair.second, level) }),
  });
}

function planLight(): (plane: LumaPlane, level: number) => LightPlane {
  const tileMeans = new Float32Array(tileSize * tileSize);
  return (plane, level) => {
    const light = linearLight(plane);
    const side = 2 ** level;
    return {
      width: plane.width >> level,
      height: plane.height >> level,
      tile: (at) => {
        const size = { width: tileSize, height: tileSize };
        return { ...size, codes: blockMeans(light, { side, step: 1 }, { ...at, ...size }, tileMeans) };
      },
      shrunk: (factor) => {
        const block = side * factor;
        const size = { width: Math.floor(plane.width / block), height: Math.floor(plane.height / block) };
        const averages = new Float32Array(size.width * size.height);
        const step = block >= leastSkippedBlock ? 2 : 1;
        const blocks = { side: block, step };
        return { ...size, codes: blockMeans(light, blocks, { x: 0, y: 0, ...size }, averages) };
      },
    };
  };
}

/** In blocks, all of them. */
interface Part extends Shift {
  readonly width: number;
  readonly height: number;
}

interface Blocks {
  readonly side: number;
  /** Of so many rows and columns one is looked at; divides `side`. */
  readonly step: number;
}

/** Mean light of square blocks, row by row. */
function blockMeans(light: LightOfCodes, blocks: Blocks, part: Part, into: Float32Array): Float32Array {
  if (blocks.side === 2 && blocks.step === 1) return quadMeans(light, part, into);
  const { width: stride, codes, valueOfCode } = light;
  const { side, step } = blocks;
  const lines = side * stride;
  const scale = (step / side) ** 2;
  for (let row = 0, to = 0; row < part.height; row++)
    for (
      let left = (part.y + row) * lines + part.x * side, end = to + part.width;
      to < end;
      to++, left += side
    ) {
      let sum = 0;
      for (let line = left; line < left + lines; line += step * stride)
        for (let at = line; at < line + side; at += step) sum += valueOfCode[codes[at]!]!;
      into[to] = sum * scale;
    }
  return into;
}

/** The same for blocks of four, which are most of all: a third of the time. */
function quadMeans(
  { width: stride, codes, valueOfCode }: LightOfCodes,
  { x, y, width, height }: Part,
  into: Float32Array,
): Float32Array {
  for (let row = 0, to = 0; row < height; row++)
    for (let a = 2 * ((y + row) * stride + x), end = to + width; to < end; to++, a += 2) {
      const b = a + stride;
      const above = valueOfCode[codes[a]!]! + valueOfCode[codes[a + 1]!]!;
      into[to] = (above + valueOfCode[codes[b]!]! + valueOfCode[codes[b + 1]!]!) / 4;
    }
  return into;
}

/** A picture as it was coded, with the light that each code stands for; 100 is the nominal peak. */
interface LightOfCodes extends Pick<LumaPlane, 'width' | 'height' | 'codes'> {
  readonly valueOfCode: Float32Array;
}

/** 1 in units of the others, as shown at 1000 cd/m². Above it a lamp would outvote the landscape. */
const brightestOfPq = lightOfSignal('pq', encodePq(1000));

/** Luma in units of light, or as coded where the transfer is not known. Nothing is copied. */
function linearLight({ width, height, codes, bitDepth, range, transfer }: LumaPlane): LightOfCodes {
  const { black, peak } = codeRange(range, bitDepth);
  const valueOfCode = Float32Array.from(
    { length: 2 ** bitDepth },
    (_, code) => 100 * lightAt(transfer, Math.max(0, (code - black) / (peak - black))),
  );
  return { width, height, codes, valueOfCode };
}

// Motion blur adds light of the scene, not codes: fitted to codes, contrasty scenes read up to 0.18 stop long.
function lightAt(transfer: TransferName | undefined, signal: number): number {
  if (transfer === undefined) return signal;
  const light = lightOfSignal(transfer, signal);
  return transfer === 'pq' ? Math.min(1, light / brightestOfPq) : light;
}
