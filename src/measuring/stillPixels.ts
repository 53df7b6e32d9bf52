import type { Sharp } from 'sharp';
import { HalfturnError } from '../domain/halfturnError.ts';
import type { Facts } from '../domain/recording.ts';
import { mostStillPixels, readHeifPixels, tooManyPixels } from './heif/heifPixels.ts';
import { pictureLibrary } from '../programs/pictureLibrary.ts';

/** R'G'B' codes of a still as it was decoded, pixel by pixel and without alpha; see turnAfterDecoding(). */
export interface StillPixels {
  readonly width: number;
  readonly height: number;
  readonly bitDepth: 8 | 16;
  readonly codes: Uint8Array | Uint16Array;
  /** Set where the file holds numbers that stand for no R'G'B' of a transfer function: of heat, height, one band of light. */
  readonly isRaster?: boolean;
  /** Set where the lower part is missing: what the decoder said, and the share that is there; `height` counts only that. */
  readonly cutShort?: { readonly detail: string; readonly readFraction: number };
}

/** Clockwise turn that shows the decoded pixels upright: the decoders turn HEIF and AVIF as those ask for. */
export function turnAfterDecoding({ codec, rotationDegrees }: Facts): number {
  return codec?.value === 'heif' || codec?.value === 'avif' ? 0 : (rotationDegrees?.value ?? 0);
}

const recognised: readonly ((head: Buffer) => boolean)[] = [
  (head) => head.readUInt16BE(0) === 0xffd8, // JPEG
  (head) => head.toString('latin1', 0, 8) === '\x89PNG\r\n\x1a\n',
  (head) => ['II*\0', 'MM\0*', 'II+\0', 'MM\0+'].includes(head.toString('latin1', 0, 4)), // TIFF, BigTIFF
  (head) => head.toString('latin1', 0, 4) === 'RIFF' && head.toString('latin1', 8, 12) === 'WEBP',
  (head) => head.toString('latin1', 4, 8) === 'ftyp', // AVIF
];

/** Decodes a still at full size; HEIF, by its `codec`, by other means. A file that ends early gives the rows there are. */
export async function readStillPixels(file: Buffer, codec?: string): Promise<StillPixels> {
  if (codec === 'heif') return { ...(await readHeifPixels(file)), bitDepth: 8 };
  // The decoder would also draw vector pictures and text; only photographs are meant.
  if (file.length < 12 || !recognised.some((matches) => matches(file)))
    throw new HalfturnError(
      'The file is not a still of a kind that can be measured',
      'JPEG, PNG, TIFF, WebP, AVIF and HEIC can be.',
    );
  const open = await pictureLibrary();
  try {
    return await decode(open, file, 'truncated');
  } catch (error) {
    const reason = lastLine(error);
    const whatIsThere = await decode(open, file, 'none').catch(() => undefined);
    if (whatIsThere === undefined) throw cannotDecode(reason);
    return withoutFill(whatIsThere, reason);
  }
}

async function decode(
  open: Awaited<ReturnType<typeof pictureLibrary>>,
  file: Buffer,
  failOn: 'truncated' | 'none',
): Promise<StillPixels> {
  // Without the profile: converting to sRGB would move codes to the ceiling that the camera had below it.
  const image = open(file, { failOn, limitInputPixels: mostStillPixels, ignoreIcc: true });
  const { depth, channels } = await image.metadata();
  const bitDepth = depth === 'ushort' ? 16 : 8;
  const { data, info } = await toRgb(image, bitDepth).toBuffer({ resolveWithObject: true });
  const codes =
    bitDepth === 8 ? data : new Uint16Array(data.buffer, data.byteOffset, Math.floor(data.length / 2));
  // Cameras write grey photographs in 8 bits; in 16 one channel is that of a sensor of heat or of one band.
  const isRaster = depth !== 'uchar' && (depth !== 'ushort' || channels < 3);
  return { width: info.width, height: info.height, bitDepth, codes, isRaster: isRaster || undefined };
}

// Grey becomes three equal channels, CMYK its nearest R'G'B'; half-transparent pixels keep their colour.
function toRgb(image: Sharp, bitDepth: 8 | 16): Sharp {
  const opaque = image.removeAlpha();
  return bitDepth === 16
    ? opaque.toColourspace('rgb16').raw({ depth: 'ushort' })
    : opaque.toColourspace('srgb').raw();
}

/** What a decoder did not find it fills with one colour, down to the last pixel. */
function withoutFill(pixels: StillPixels, detail: string): StillPixels {
  const { codes, width } = pixels;
  const fill = codes.subarray(codes.length - 3);
  let end = codes.length;
  while (end > 0 && codes[end - 1] === fill[2] && codes[end - 2] === fill[1] && codes[end - 3] === fill[0])
    end -= 3;
  const height = Math.floor(end / (3 * width));
  const cutShort = { detail, readFraction: height / pixels.height };
  return { ...pixels, height, codes: codes.subarray(0, height * width * 3), cutShort };
}

function cannotDecode(reason: string): HalfturnError {
  if (/pixel limit/i.test(reason)) return tooManyPixels();
  return new HalfturnError(
    'The still cannot be decoded',
    'Copy it from the card again; if it still fails, the file is damaged.',
    reason,
  );
}

function lastLine(error: unknown): string {
  const text = error instanceof Error ? error.message : String(error);
  const lines = text.split('\n').filter((line) => line.trim() !== '');
  return (lines.at(-1) ?? 'unknown reason').replace(/[^ -~]/g, '?').slice(0, 160);
}
