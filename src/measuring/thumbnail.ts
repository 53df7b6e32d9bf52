import type { BurntPicture, SmallPicture, Measurement, RecordingPictures } from '../domain/measurement.ts';
import type { RangeName, TransferName, Facts } from '../domain/recording.ts';
import { pictureLibrary } from '../programs/pictureLibrary.ts';
import type { Frame } from './decoding/frame.ts';
import { limitOf } from './highlights/pictureClipping.ts';
import { turnAfterDecoding, type StillPixels } from './stillPixels.ts';
import { codeRange, colourFactors, lumaWeights } from './videoCodes.ts';

/** What the codes of a clip mean. */
interface Video {
  readonly range: RangeName;
  readonly transfer: TransferName | undefined;
}

interface Size {
  readonly width: number;
  readonly height: number;
}

/** One frame made small: R'G'B', and the luma code of each place, as it was recorded, to find what clips. */
interface Thumbnail extends Size {
  readonly atSeconds: number;
  readonly bitDepth: number;
  readonly rgb: Uint8Array;
  readonly codes: Uint16Array;
}

/** Longest sides, in pixels: of the frames of a strip, and of the one that clips most. */
const stripPixels = 176;
const burntPixels = 320;
/** A picture that compresses badly is coded coarser until it fits. */
const mostBytes = { strip: 4_500, burnt: 12_000 } as const;
const qualities = [62, 45, 28, 12];
/** Columns of a stripe and of the gap beside it. */
const stripePixels = 4;
const stripeColour = [214, 40, 20, 235];
const gapColour = [20, 8, 6, 150];

/** Samples in each direction that a place's brightness is averaged from. */
const samplesAcross = 3;
/** A coarse look at a frame is enough to tell a bright one. */
const glanceAcross = 96;
/** No ceiling that a recording stops at lies lower. */
const brightSignal = 0.7;

/**
 * Makes a frame small: each place shows the mean of a few samples of it, and what clips is told from its middle alone,
 * so that the marked share of the picture is the clipped one.
 */
export function thumbnailOfFrame(frame: Frame, video: Video, longestSide: number): Thumbnail {
  const height = frame.height * (frame.rowStep ?? 1);
  const size = smallSize({ width: frame.width, height }, longestSide);
  const rgb = new Uint8ClampedArray(size.width * size.height * 3);
  const codes = new Uint16Array(size.width * size.height);
  showFrame(frame, video, { ...size, rgb, codes, averages: meanCodes(frame, size) });
  return { atSeconds: frame.atSeconds, bitDepth: frame.bitDepth, ...size, rgb: bytesOf(rgb), codes };
}

interface Shown extends Size {
  readonly rgb: Uint8ClampedArray;
  readonly codes: Uint16Array;
  readonly averages: Float32Array;
}

// Nothing stands behind the loop, and all that it uses are numbers and arrays: else its compiled code was left at the end
// of every frame, and the next one began uncompiled.
function showFrame(frame: Frame, video: Video, { width, height, rgb, codes, averages }: Shown): void {
  const { black, peak, chromaZero, chromaSpan } = codeRange(video.range, frame.bitDepth);
  const { redFromCr, greenFromCr, greenFromCb, blueFromCb } = colourFactors(lumaWeights(video.transfer));
  const lumaScale = 255 / (peak - black);
  const chromaScale = 255 / chromaSpan;
  const { width: frameWidth, luma, cb: blues, cr: reds } = frame;
  const chromaWidth = Math.ceil(frameWidth / 2);
  const columns = middles(frameWidth, width);
  const rows = middles(frame.height, height);
  for (let at = 0; at < codes.length; at++) {
    const y = rows[Math.floor(at / width)]!;
    const x = columns[at % width]!;
    const chromaAt = (y >> 1) * chromaWidth + (x >> 1);
    const grey = (averages[at]! - black) * lumaScale;
    const cb = (blues[chromaAt]! - chromaZero) * chromaScale;
    const cr = (reds[chromaAt]! - chromaZero) * chromaScale;
    codes[at] = luma[y * frameWidth + x]!;
    rgb[3 * at] = grey + redFromCr * cr;
    rgb[3 * at + 1] = grey + greenFromCr * cr + greenFromCb * cb;
    rgb[3 * at + 2] = grey + blueFromCb * cb;
  }
}

/** How bright the bright parts of a frame are together; grows with what clips, wherever the ceiling lies. */
export function brightness(frame: Frame, { range }: Video): number {
  const { width, height, bitDepth, luma, rowStep = 1 } = frame;
  const { black, peak } = codeRange(range, bitDepth);
  const floor = black + brightSignal * (peak - black);
  const across = Math.min(width, glanceAcross);
  const columns = middles(width, across);
  let sum = 0;
  for (const y of middles(height, Math.max(1, Math.round((across * height * rowStep) / width)))) {
    const row = y * width;
    for (let x = 0; x < across; x++) {
      const above = luma[row + columns[x]!]! - floor;
      if (above > 0) sum += above;
    }
  }
  return sum;
}

/** The middles of as many equal parts of a line of pixels. */
function middles(length: number, parts: number): Int32Array {
  return Int32Array.from({ length: parts }, (_, part) => Math.floor(((part + 0.5) * length) / parts));
}

/** Mean codes of the samples of each place. */
function meanCodes({ width, height, luma }: Frame, size: Size): Float32Array {
  const columns = middles(width, size.width * samplesAcross);
  const rows = middles(height, size.height * samplesAcross);
  const averages = new Float32Array(size.width * size.height);
  for (let row = 0; row < rows.length; row++) {
    const start = rows[row]! * width;
    let to = Math.floor(row / samplesAcross) * size.width;
    for (let column = 0; column < columns.length; to++) {
      let sum = 0;
      for (const end = column + samplesAcross; column < end; column++) sum += luma[start + columns[column]!]!;
      averages[to]! += sum / samplesAcross ** 2;
    }
  }
  return averages;
}

/** The same for the pixels of a still, which are R'G'B' in full range already. */
export function thumbnailOfPixels(pixels: StillPixels, longestSide: number): Thumbnail {
  const { width, height } = smallSize(pixels, longestSide);
  const { red, blue } = lumaWeights(undefined);
  const scale = 255 / (2 ** pixels.bitDepth - 1);
  const rgb = new Uint8ClampedArray(width * height * 3);
  const codes = new Uint16Array(width * height);
  for (let at = 0; at < width * height; at++) {
    const fromX = Math.floor((((at % width) + 0.5) * pixels.width) / width);
    const fromY = Math.floor(((Math.floor(at / width) + 0.5) * pixels.height) / height);
    const from = 3 * (fromY * pixels.width + fromX);
    for (let channel = 0; channel < 3; channel++)
      rgb[3 * at + channel] = pixels.codes[from + channel]! * scale;
    codes[at] = Math.round(
      red * rgb[3 * at]! + (1 - red - blue) * rgb[3 * at + 1]! + blue * rgb[3 * at + 2]!,
    );
  }
  return { atSeconds: 0, bitDepth: 8, width, height, rgb: bytesOf(rgb), codes };
}

function bytesOf(clamped: Uint8ClampedArray): Uint8Array {
  return new Uint8Array(clamped.buffer);
}

function smallSize({ width, height }: Size, longestSide: number): Size {
  const scale = Math.min(1, longestSide / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * scale)), height: Math.max(1, Math.round(height * scale)) };
}

/** How many places of a thumbnail clip, from the code `limit` on. */
export function clippedPlaces({ codes }: Thumbnail, limit: number): number {
  return codes.reduce((count, code) => (code >= limit ? count + 1 : count), 0);
}

/** A frame of the strip, turned as it is to be shown. */
export async function stripPicture(thumbnail: Thumbnail, rotationDegrees: number): Promise<SmallPicture> {
  const { atSeconds } = thumbnail;
  return { atSeconds, ...(await coded(thumbnail, rotationDegrees, mostBytes.strip)) };
}

/** The frame that clips most, with stripes over what clips. */
export async function burntPicture(
  thumbnail: Thumbnail,
  { rotationDegrees, limit }: { readonly rotationDegrees: number; readonly limit: number },
): Promise<BurntPicture> {
  const { atSeconds, width, height } = thumbnail;
  const open = await pictureLibrary();
  const stripes = await open(stripesOver(thumbnail, limit), { raw: { width, height, channels: 4 } })
    .rotate(rotationDegrees)
    .png({ palette: true, colours: 4, effort: 1 })
    .toBuffer();
  const picture = await coded(thumbnail, rotationDegrees, mostBytes.burnt);
  const sizeBytes = picture.sizeBytes + stripes.length;
  return { atSeconds, ...picture, sizeBytes, stripes, stripesType: 'image/png' };
}

// Two colours in turn: one of them shows on whatever lies beneath, and white does lie beneath.
function stripesOver({ width, height, codes }: Thumbnail, limit: number): Uint8Array {
  const pixels = new Uint8Array(width * height * 4);
  for (let at = 0; at < codes.length; at++) {
    if (codes[at]! < limit) continue;
    const along = (at % width) + Math.floor(at / width);
    pixels.set(along % (2 * stripePixels) < stripePixels ? stripeColour : gapColour, 4 * at);
  }
  return pixels;
}

async function coded(
  { width, height, rgb }: Thumbnail,
  rotationDegrees: number,
  most: number,
): Promise<Omit<SmallPicture, 'atSeconds'>> {
  const open = await pictureLibrary();
  for (const quality of qualities) {
    const { data, info } = await open(rgb, { raw: { width, height, channels: 3 } })
      .rotate(rotationDegrees)
      .webp({ quality, effort: 2 })
      .toBuffer({ resolveWithObject: true });
    const [size, sizeBytes] = [{ width: info.width, height: info.height }, data.length];
    if (sizeBytes <= most || quality === qualities.at(-1))
      return { ...size, type: 'image/webp', sizeBytes, bytes: data };
  }
  throw new Error('unreachable: the last quality is always taken');
}

const framesShown = 6;
/** More are thinned to every second. */
const mostInStrip = 24;
/** Less cannot be seen at this size. */
const leastMarked = 0.0005;

/** Keeps small pictures of what is looked at while it is measured. */
export function planPictures(facts: Facts) {
  const { range, transfer } = facts;
  const video: Video = { range: range?.value ?? 'narrow', transfer: transfer?.value };
  let strip: Thumbnail[] = [];
  let brightest: { readonly thumbnail: Thumbnail; readonly brightness: number } | undefined;
  let offered = 0;
  let step = 1;
  return {
    frame: (frame: Frame): void => {
      const bright = brightness(frame, video);
      if (bright > (brightest?.brightness ?? 0))
        brightest = { thumbnail: thumbnailOfFrame(frame, video, burntPixels), brightness: bright };
      if (offered++ % step !== 0) return;
      strip.push(thumbnailOfFrame(frame, video, stripPixels));
      if (strip.length <= mostInStrip) return;
      strip = strip.filter((_, index) => index % 2 === 0);
      step *= 2;
    },
    pixels: (pixels: StillPixels): void => {
      strip.push(thumbnailOfPixels(pixels, stripPixels));
      brightest = { thumbnail: thumbnailOfPixels(pixels, burntPixels), brightness: 1 };
    },
    result: async (
      path: string,
      { ceiling, rangeInUse }: Pick<Measurement, 'ceiling' | 'rangeInUse'>,
    ): Promise<RecordingPictures> => {
      const turned = turnAfterDecoding(facts);
      const frames: SmallPicture[] = [];
      // Steps with a pair are looked at last.
      const inOrder = strip.toSorted((a, b) => a.atSeconds - b.atSeconds);
      for (const thumbnail of evenlySpread(inOrder, framesShown))
        frames.push(await stripPicture(thumbnail, turned));
      const worst = brightest?.thumbnail;
      if (worst === undefined) return { path, frames };
      // The pixels of a still are in full range.
      const limit = limitOf(ceiling.signal, rangeInUse?.name ?? 'full', worst.bitDepth);
      if (clippedPlaces(worst, limit) < leastMarked * worst.codes.length) return { path, frames };
      return { path, frames, burnt: await burntPicture(worst, { rotationDegrees: turned, limit }) };
    },
  };
}

/** So many at most, from the middle of equal stretches: of eight the third and the seventh where two are shown. */
function evenlySpread<T>(all: readonly T[], most: number): readonly T[] {
  if (all.length <= most) return all;
  return Array.from({ length: most }, (_, at) => all[Math.floor(((at + 0.5) * all.length) / most)]!);
}
