import { read } from 'node:fs';
import { promisify } from 'node:util';
import { HalfturnError } from '../domain/halfturnError.ts';
import type { FrameMeasure, Measurement } from '../domain/measurement.ts';
import type { Facts } from '../domain/recording.ts';
import { decodeSrgb } from '../domain/transfer/srgb.ts';
import type { OpenMedia } from '../programs/openMedia.ts';
import { crushedSignal, nominalCeiling } from './clipping.ts';
import { clippedRegion } from './clippedRegion.ts';
import { readStillPixels } from './stillPixels.ts';
import type { StillPixels } from './stillPixels.ts';
import { bt709Weights } from './signal.ts';
import { summarise } from './summary.ts';

/** Uncompressed, a pixel takes at most four channels of 16 bits; previews and profiles come on top. */
const mostBytesPerPixel = 8;
const mostOtherBytes = 64 << 20;
/** Chromaticities apart, all photographs count as sRGB; a grey card is 18 % of its white. */
const midGrey = 0.18;
const placesForLevel = 40_000;

/** Measures one still at full size. A still that cannot be decoded is a HalfturnError. */
export async function measureStill(
  media: OpenMedia,
  facts: Facts,
  onPixels?: (pixels: StillPixels) => void,
): Promise<Measurement> {
  return oneAtATime(() => measureWhole(media, facts, onPixels));
}

let lastStill: Promise<unknown> = Promise.resolve();

/** A decoded still is the largest thing that is ever held in memory: there is never a second one. */
function oneAtATime<T>(work: () => Promise<T>): Promise<T> {
  const done = lastStill.then(work);
  lastStill = done.catch(() => undefined);
  return done;
}

async function measureWhole(
  media: OpenMedia,
  facts: Facts,
  onPixels: ((pixels: StillPixels) => void) | undefined,
): Promise<Measurement> {
  refuseBallast(media, facts);
  const pixels = await readStillPixels(await readWhole(media));
  refusePreview(pixels, facts);
  if (pixels.height === 0)
    throw new HalfturnError(
      `Not one row of the still could be decoded (${pixels.cutShort})`,
      'Copy it from the card again.',
    );
  const frame = measurePixels(pixels);
  onPixels?.(pixels);
  return {
    ...summarise([frame], nominalCeiling, []),
    ...(pixels.cutShort === undefined ? {} : { endedEarly: { atSeconds: 0, reason: pixels.cutShort } }),
  };
}

/** Clipping and level of R'G'B' pixels in full range. */
function measurePixels({ width, height, bitDepth, codes }: StillPixels): FrameMeasure {
  const peak = 2 ** bitDepth - 1;
  const limit = Math.ceil(nominalCeiling.signal * peak);
  const floor = Math.floor(crushedSignal * peak);
  const { red, blue } = bt709Weights;
  const green = 1 - red - blue;
  const area = width * height;
  let clipped = 0;
  let channelClipped = 0;
  let crushed = 0;
  for (let i = 0, at = 0; i < area; i++, at += 3) {
    const r = codes[at]!;
    const g = codes[at + 1]!;
    const b = codes[at + 2]!;
    const code = red * r + green * g + blue * b + 0.5;
    if (code >= limit) clipped++;
    else if (Math.floor(code) <= floor) crushed++;
    if (r >= limit || g >= limit || b >= limit) channelClipped++;
  }
  const region =
    clipped > 0 ? clippedRegion({ width, height, codes: clippedMask(codes, limit) }, 1) : undefined;
  const levelStops = stillLevel(codes, peak);
  return {
    atSeconds: 0,
    clippedFraction: clipped / area,
    channelClippedFraction: channelClipped / area,
    largestRegionFraction: (region?.pixels ?? 0) / area,
    ...(region === undefined ? {} : { clippedShape: region.shape }),
    crushedFraction: crushed / area,
    ...(levelStops === undefined ? {} : { levelStops }),
  };
}

/** 1 where the luma of a pixel is at or above the limit. */
function clippedMask(codes: StillPixels['codes'], limit: number): Uint8Array {
  const { red, blue } = bt709Weights;
  const green = 1 - red - blue;
  const mask = new Uint8Array(codes.length / 3);
  for (let i = 0, at = 0; i < mask.length; i++, at += 3)
    if (red * codes[at]! + green * codes[at + 1]! + blue * codes[at + 2]! + 0.5 >= limit) mask[i] = 1;
  return mask;
}

function stillLevel(codes: StillPixels['codes'], peak: number): number | undefined {
  const { red, blue } = bt709Weights;
  const pixels = codes.length / 3;
  // An odd step does not fall into the columns of an even picture.
  const step = Math.max(1, Math.floor(pixels / placesForLevel) | 1);
  let sum = 0;
  let count = 0;
  for (let i = step >> 1; i < pixels; i += step, count++)
    sum +=
      red * decodeSrgb(codes[3 * i]! / peak) +
      (1 - red - blue) * decodeSrgb(codes[3 * i + 1]! / peak) +
      blue * decodeSrgb(codes[3 * i + 2]! / peak);
  return sum > 0 ? Math.log2(sum / count / midGrey) : undefined;
}

/** A raw file shows a decoder only the small picture that stands in front; its highlights are not those of the raw. */
function refusePreview({ width, height, cutShort }: StillPixels, { width: w, height: h }: Facts): void {
  if (w === undefined || h === undefined || cutShort !== undefined) return;
  const decoded = Math.max(width, height);
  if (decoded >= 0.9 * Math.max(w.value, h.value)) return;
  throw new HalfturnError(
    `Only a preview of ${width} by ${height} pixels can be decoded from this still of ${w.value} by ${h.value}`,
    'Measure the JPEG that the camera wrote beside it.',
  );
}

const readAt = promisify(read);

/** A file that is far larger than its own picture could be would only fill the memory. */
function refuseBallast({ sizeBytes }: OpenMedia, { width, height }: Facts): void {
  const pixels = (width?.value ?? 0) * (height?.value ?? 0);
  if (sizeBytes <= mostBytesPerPixel * pixels + mostOtherBytes) return;
  throw new HalfturnError(
    `The file holds ${Math.round(sizeBytes / 1e6)} MB, far more than its picture can need`,
    'Open it in a picture program and save it anew to have it measured.',
  );
}

async function readWhole({ fd, sizeBytes }: OpenMedia): Promise<Buffer> {
  const file = Buffer.alloc(sizeBytes);
  let filled = 0;
  while (filled < sizeBytes) {
    const { bytesRead } = await readAt(fd, file, filled, sizeBytes - filled, filled);
    if (bytesRead === 0) break;
    filled += bytesRead;
  }
  return file.subarray(0, filled);
}
