import { read } from 'node:fs';
import { promisify } from 'node:util';
import { HalfturnError } from '../domain/halfturnError.ts';
import type { Measurement } from '../domain/measurement.ts';
import type { Facts } from '../domain/recording.ts';
import type { OpenMedia } from '../programs/openMedia.ts';
import { nominalCeiling } from './highlights/ceiling.ts';
import { readStillPixels, turnAfterDecoding } from './stillPixels.ts';
import type { StillPixels } from './stillPixels.ts';
import { measurePixels } from './pixels.ts';
import { summarise } from './summary.ts';

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
  const pixels = await readStillPixels(await readWhole(media), facts.codec?.value);
  refusePreview(pixels, facts);
  if (pixels.height === 0)
    throw new HalfturnError(
      'Not one row of the still could be decoded',
      'Copy it from the card again.',
      pixels.cutShort?.detail,
    );
  onPixels?.(pixels);
  const frame = measurePixels(pixels, turnAfterDecoding(facts));
  return {
    ...summarise([frame], nominalCeiling, []),
    ...(pixels.cutShort === undefined
      ? {}
      : { endedEarly: { atSeconds: 0, reason: 'the rest is damaged or missing', ...pixels.cutShort } }),
  };
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
