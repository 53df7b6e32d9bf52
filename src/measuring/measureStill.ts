import { read } from 'node:fs';
import { promisify } from 'node:util';
import { bytesSource } from '../containers/byteSource.ts';
import { jpegOwnBytes } from '../containers/jpeg.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import type { FrameMeasure, Measurement, NoScene } from '../domain/measurement.ts';
import type { Facts } from '../domain/recording.ts';
import { decodeSrgb } from '../domain/transferCurves.ts';
import type { OpenMedia } from '../programs/openMedia.ts';
import { nominalCeiling } from './highlights/ceiling.ts';
import { clippedRegion } from './highlights/clippedRegion.ts';
import { clippingInside, crushedIn, crushedSignal } from './highlights/pictureClipping.ts';
import { quantilesOf } from './lightLevel.ts';
import { asNoScene, isAllBlack, isDrawn } from './noScene.ts';
import { pictureArea } from './pictureArea.ts';
import { histogramInside, latticeOfStill, type Inside, type PictureLattice } from './pictureLattice.ts';
import { summarise } from './pictureSummary.ts';
import { readStillPixels, turnAfterDecoding, type StillPixels } from './stillPixels.ts';
import { lumaWeights } from './videoCodes.ts';

/** Uncompressed, a pixel takes at most four channels of 16 bits; previews and profiles come on top. */
const mostBytesPerPixel = 8;
const mostOtherBytes = 64 << 20;

/** Measures one still at full size. A still that cannot be decoded is a HalfturnError. */
export async function measureStill(
  media: OpenMedia,
  facts: Facts,
  onPixels?: (pixels: StillPixels) => void,
): Promise<Measurement> {
  refuseBallast(media, facts);
  const file = await readWhole(media);
  const decoded = await readStillPixels(file, facts.codec?.value);
  const pixels = { ...decoded, isRaster: decoded.isRaster ?? showsNumbers(file, facts) };
  refusePreview(pixels, facts);
  if (pixels.height === 0)
    throw new HalfturnError(
      'Not one row of the still could be decoded',
      'Copy it from the card again.',
      pixels.cutShort?.detail,
    );
  onPixels?.(pixels);
  const { frame, pictureArea: area } = measurePixels(pixels, facts);
  const { cutShort } = pixels;
  const endedEarly = cutShort && { atSeconds: 0, reason: 'the rest is damaged or missing', ...cutShort };
  return { ...summarise([frame], nominalCeiling, []), pictureArea: area, endedEarly };
}

/** Of 65 pictures of heat 63 hold 0.25 to 7 bytes for each pixel, and no ISO; of 3,000 photographs none does. */
const ownBytesPerPixel = 0.25;

/** Whether a picture was drawn from numbers that lie beside it, as cameras of heat do: nobody exposed its colours. */
function showsNumbers(file: Buffer, { codec, iso, width, height }: Facts): boolean {
  if (codec?.value !== 'jpeg' || iso !== undefined) return false;
  const pixels = (width?.value ?? 0) * (height?.value ?? 0);
  return pixels > 0 && jpegOwnBytes(bytesSource(file)) >= ownBytesPerPixel * pixels;
}

/** A raw file shows a decoder only the small picture that stands in front; its highlights are not those of the raw. */
function refusePreview({ width, height, cutShort }: StillPixels, { width: w, height: h }: Facts): void {
  if (w === undefined || h === undefined || cutShort !== undefined) return;
  const [long, short] = [Math.max(width, height), Math.min(width, height)];
  const [recordedLong, recordedShort] = [Math.max(w.value, h.value), Math.min(w.value, h.value)];
  if (long >= 0.9 * recordedLong && short >= 0.9 * recordedShort) return;
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

/** Chromaticities apart, all photographs count as sRGB; a grey card is 18% of its white. */
const midGrey = 0.18;
const placesForLevel = 40_000;
/** Share of a picture that may lie above its brightest part: noise, single glints. */
const brightestShare = 0.001;

/** Clipping and light of R'G'B' pixels in full range, of all of them. Their codes are overwritten. */
function measurePixels(
  pixels: StillPixels,
  facts: Facts,
): { readonly frame: FrameMeasure; readonly pictureArea: Measurement['pictureArea'] } {
  const { width, height, bitDepth, codes } = pixels;
  const peak = 2 ** bitDepth - 1;
  const limit = Math.ceil(nominalCeiling.signal * peak);
  const area = width * height;
  const { clipped, channelClipped, crushed, burnt } = countPixels(codes, {
    limit,
    floor: Math.floor(crushedSignal * peak),
  });
  const lattice = latticeOfStill(pixels);
  const noScene = noSceneOf(pixels, lattice, facts);
  const framed = noScene === undefined ? pictureArea(lattice, fullRange) : undefined;
  const inside = framed?.isSharp === true ? framed : undefined;
  const light = lightOf(pixels, inside?.holds);
  const mask = clipped > 0 ? clippedMask(codes, limit) : undefined;
  const turn = turnAfterDecoding(facts);
  const region = mask && clippedRegion({ width, height, codes: mask }, { low: 1, high: 1 }, turn);
  const clipping = {
    clippedFraction: clipped / area,
    channelClippedFraction: channelClipped / area,
    largestRegionFraction: region?.largestFraction ?? 0,
    clippedShape: region?.shape,
    clippedThirds: region?.thirds,
    clippedSpots: region?.spots,
    burntChannels:
      channelClipped > 0
        ? { red: burnt.red / area, green: burnt.green / area, blue: burnt.blue / area }
        : undefined,
    crushedFraction: crushed / area,
  };
  if (inside === undefined) {
    const frame = { atSeconds: 0, ...clipping, ...light };
    return { frame: noScene === undefined ? frame : asNoScene(frame, noScene), pictureArea: undefined };
  }
  const { shape, fraction, holds } = inside;
  const black = crushedIn(histogramInside(lattice, holds), 'full', 8);
  return {
    frame: { atSeconds: 0, ...clippingInside(clipping, fraction, black), ...light },
    pictureArea: { shape, fraction },
  };
}

const fullRange = { black: 0, peak: 255 };
const everywhere: Inside = () => true;

function noSceneOf(
  { isRaster }: StillPixels,
  lattice: PictureLattice,
  { exposureSeconds }: Facts,
): NoScene | undefined {
  if (isRaster === true) return 'raster';
  if (isAllBlack(histogramInside(lattice, everywhere), fullRange)) return 'black';
  return exposureSeconds === undefined && isDrawn(lattice, fullRange) ? 'drawing' : undefined;
}

function countPixels(
  codes: StillPixels['codes'],
  { limit, floor }: { readonly limit: number; readonly floor: number },
) {
  const { red, blue } = lumaWeights('srgb');
  const green = 1 - red - blue;
  let [clipped, channelClipped, crushed] = [0, 0, 0];
  let [redBurnt, greenBurnt, blueBurnt] = [0, 0, 0];
  for (let at = 0; at < codes.length; at += 3) {
    const [r, g, b] = [codes[at]!, codes[at + 1]!, codes[at + 2]!];
    const code = red * r + green * g + blue * b + 0.5;
    if (code >= limit) clipped++;
    else if (Math.floor(code) <= floor) crushed++;
    if (r < limit && g < limit && b < limit) continue;
    channelClipped++;
    if (r >= limit) redBurnt++;
    if (g >= limit) greenBurnt++;
    if (b >= limit) blueBurnt++;
  }
  const burnt = { red: redBurnt, green: greenBurnt, blue: blueBurnt };
  return { clipped, channelClipped, crushed, burnt };
}

/**
 * 1 where the luma of a pixel is at or above the limit. It takes the place of the codes, one for every three of them,
 * always behind the place that is read: a mask of 48 megapixels beside them would be the largest memory of all.
 */
function clippedMask(codes: StillPixels['codes'], limit: number): StillPixels['codes'] {
  const { red, blue } = lumaWeights('srgb');
  const green = 1 - red - blue;
  const mask = codes.subarray(0, codes.length / 3);
  for (let i = 0, at = 0; i < mask.length; i++, at += 3)
    mask[i] = red * codes[at]! + green * codes[at + 1]! + blue * codes[at + 2]! + 0.5 >= limit ? 1 : 0;
  return mask;
}

function lightOf(
  { codes, bitDepth, width, height }: StillPixels,
  holds: Inside = everywhere,
): Pick<FrameMeasure, 'levelStops' | 'lightQuantilesStops' | 'headroomStops'> {
  const { red, blue } = lumaWeights('srgb');
  const peak = 2 ** bitDepth - 1;
  const pixels = codes.length / 3;
  // An odd step does not fall into the columns of an even picture.
  const step = Math.max(1, Math.floor(pixels / placesForLevel) | 1);
  const places = Math.ceil((pixels - (step >> 1)) / step);
  const lightOfCode = lightTable(peak);
  const light = new Float64Array(places);
  const havingHighest = new Uint32Array(peak + 1);
  let sum = 0;
  let count = 0;
  for (let place = 0, at = step >> 1; place < places; place++, at += step) {
    if (!holds(((at % width) + 0.5) / width, (Math.floor(at / width) + 0.5) / height)) continue;
    const [r, g, b] = [codes[3 * at]!, codes[3 * at + 1]!, codes[3 * at + 2]!];
    light[count] = red * lightOfCode[r]! + (1 - red - blue) * lightOfCode[g]! + blue * lightOfCode[b]!;
    sum += light[count++]!;
    havingHighest[Math.max(r, g, b)]!++;
  }
  if (sum <= 0) return {};
  const top = codeAtRank(havingHighest, Math.floor((1 - brightestShare) * (count - 1)));
  const headroomStops = Math.log2(decodeSrgb(nominalCeiling.signal) / lightOfCode[top]!);
  return {
    levelStops: Math.log2(sum / count / midGrey),
    lightQuantilesStops: quantilesOf(light.subarray(0, count), midGrey),
    headroomStops: top > 0 ? Math.max(0, headroomStops) : undefined,
  };
}

/** The code that stands at a place, from 0, where all of them are sorted. */
function codeAtRank(having: Uint32Array, rank: number): number {
  let code = 0;
  for (let passed = having[0]!; passed <= rank; passed += having[code]!) code++;
  return code;
}

const lightTables = new Map<number, Float64Array>();

/** Light of every code from 0 to the peak. Worked out once: a series has thousands of stills, each with many pixels. */
function lightTable(peak: number): Float64Array {
  const cached = lightTables.get(peak);
  if (cached !== undefined) return cached;
  const table = Float64Array.from({ length: peak + 1 }, (_, code) => decodeSrgb(code / peak));
  lightTables.set(peak, table);
  return table;
}
