import type { RangeName } from '../domain/recording.ts';
import type { Frame } from './frames.ts';
import { codeRange } from './signal.ts';

/** The top of one picture: how far up it goes, and whether much of it is piled up there. */
export interface PictureTop {
  readonly signal: number;
  readonly piledUp: boolean;
}

// A sensor that is full gives the same highest code over an area, with far less just below it; a bright scene that is
// not cut off thins out towards its top. The numbers are our own choice, no source.
const topWidth = 0.01;
/** Share of the picture that may lie above the top: noise, sharpening halos. */
const strayShare = 0.0002;
const leastPileShare = 0.002;
const pileOverBelow = 4;
/** PQ code of 203 cd/m², reference white (Report ITU-R BT.2408-7, table 1): below it nothing is called a highlight. */
const leastSignal = 0.58;

/** Looks for the level at which the highlights of a PQ picture stop. */
export function pictureTop(frame: Frame, range: RangeName): PictureTop {
  const { black, peak } = codeRange(range, frame.bitDepth);
  const histogram = new Uint32Array(2 ** frame.bitDepth);
  for (let i = 0; i < frame.luma.length; i++) histogram[frame.luma[i]!]!++;
  const area = frame.luma.length;
  let top = histogram.length - 1;
  for (let above = histogram[top]!; top > 0 && above <= strayShare * area; above += histogram[top]!) top--;
  const width = Math.max(1, Math.round(topWidth * (peak - black)));
  const pile = sum(histogram, top - width + 1, histogram.length);
  const below = sum(histogram, top - 2 * width + 1, top - width + 1);
  const signal = (top - black) / (peak - black);
  return {
    signal,
    piledUp: signal >= leastSignal && pile >= leastPileShare * area && pile >= pileOverBelow * below,
  };
}

function sum(histogram: Uint32Array, from: number, to: number): number {
  let total = 0;
  for (let code = Math.max(0, from); code < to; code++) total += histogram[code]!;
  return total;
}

/** Of a clip's pictures: where highlights stop, if any picture shows it and none goes higher. */
export function agreedCeiling(tops: readonly PictureTop[]): number | undefined {
  const highest = Math.max(...tops.map(({ signal }) => signal));
  const piles = tops.filter(({ signal, piledUp }) => piledUp && signal > highest - topWidth);
  return piles.length === 0 ? undefined : Math.min(...piles.map(({ signal }) => signal)) - topWidth;
}
