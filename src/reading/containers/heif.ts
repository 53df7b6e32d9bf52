import type { Refusal } from '../../domain/recording.ts';
import { bytesSource, partSource, type ByteSource } from './byteSource.ts';
import { itemEntries, itemLocations, type ItemEntry, type ItemLocation } from './heifItems.ts';
import { itemPicture } from './heifProperties.ts';
import { fullBoxBody, isoBoxes, type IsoBox } from './isoBoxes.ts';
import { maxExifBytes, maxXmpBytes } from './metadataBounds.ts';
import {
  structureRefusal,
  type PictureHeader,
  type StillContents,
  type StillFormat,
} from './stillContents.ts';

const xmpContentType = 'application/rdf+xml';
const exifSignature = 'Exif\0\0';

/** Reads the metadata items of an HEIF or AVIF file (ISO/IEC 23008-12 annex A). */
export function heifContents(source: ByteSource, format: StillFormat & ('heif' | 'avif')): StillContents {
  const exif: ByteSource[] = [];
  const xmp: Uint8Array[] = [];
  const refusals: Refusal[] = [];
  let picture: PictureHeader = {};
  try {
    const meta = metaParts(source);
    if (meta === undefined) {
      const reason = 'it holds no table of its items that can be read';
      return { format, picture, exif, xmp, refusals: [refusal('meta', reason)] };
    }
    picture = primaryPicture(source, meta);
    for (const item of metadataItems(source, meta)) {
      const maxBytes = item.entry.type === 'Exif' ? maxExifBytes : maxXmpBytes;
      const bytes = itemBytes(source, meta, item.location, maxBytes);
      if (!bytes)
        refusals.push(refusal(`item ${item.entry.id}`, `cut short, or larger than ${maxBytes} bytes`));
      else if (item.entry.type === 'Exif') exif.push(exifSource(bytes));
      else xmp.push(bytes);
    }
  } catch (error) {
    // Buffer's own bounds checks guard every read in the tables.
    if (!(error instanceof RangeError)) throw error;
    refusals.push(refusal('meta', 'a table of the file ends too early'));
  }
  return { format, picture, exif, xmp, refusals };
}

type MetaParts = ReadonlyMap<string, IsoBox>;

function metaParts(source: ByteSource): MetaParts | undefined {
  const meta = isoBoxes(source, 0, source.sizeBytes, 256).boxes.find((box) => box.type === 'meta');
  if (!meta) return undefined;
  return new Map(isoBoxes(source, meta.bodyStart + 4, meta.end, 64).boxes.map((box) => [box.type, box]));
}

function primaryPicture(source: ByteSource, meta: MetaParts): PictureHeader {
  const pitm = meta.get('pitm');
  const iprp = meta.get('iprp');
  const primary = pitm && fullBoxBody(source, pitm, 64);
  if (!primary || !iprp) return {};
  const id = primary.version === 0 ? primary.body.readUInt16BE(0) : primary.body.readUInt32BE(0);
  return itemPicture(source, iprp, id);
}

function metadataItems(
  source: ByteSource,
  meta: MetaParts,
): { readonly entry: ItemEntry; readonly location: ItemLocation | undefined }[] {
  const iinf = meta.get('iinf');
  const iloc = meta.get('iloc');
  if (!iinf || !iloc) return [];
  const entries = itemEntries(source, iinf).filter(isMetadata).slice(0, 16);
  const locations = itemLocations(source, iloc, new Set(entries.map((entry) => entry.id)));
  return entries.map((entry) => ({ entry, location: locations.get(entry.id) }));
}

function isMetadata(entry: ItemEntry): boolean {
  return entry.type === 'Exif' || (entry.type === 'mime' && entry.contentType === xmpContentType);
}

function itemBytes(
  source: ByteSource,
  meta: MetaParts,
  location: ItemLocation | undefined,
  maxBytes: number,
): Buffer | undefined {
  if (!location) return undefined;
  const idat = meta.get('idat');
  if (location.inItemData && !idat) return undefined;
  const whole =
    location.inItemData && idat ? partSource(source, idat.bodyStart, idat.end - idat.bodyStart) : source;
  // A length of 0 means "to the end of the file" (8.11.3.3): only sensible for a single extent.
  const lengths = location.extents.map(
    ({ offset, length }) => length || Math.max(0, whole.sizeBytes - offset),
  );
  const totalBytes = lengths.reduce((sum, length) => sum + length, 0);
  if (totalBytes === 0 || totalBytes > maxBytes) return undefined;
  const bytes = Buffer.concat(
    location.extents.map((extent, each) => whole.read(extent.offset, lengths[each] ?? 0)),
  );
  return bytes.length === totalBytes ? bytes : undefined;
}

// The item opens with the distance from its fifth byte to the TIFF header (ISO/IEC 23008-12 A.2.1); some writers say 0
// and put the signature of JPEG segments there, and some leave the distance out.
function exifSource(bytes: Buffer): ByteSource {
  if (/^(II\*\0|MM\0\*)/.test(bytes.toString('latin1', 0, 4))) return bytesSource(bytes);
  const distance = bytes.length < 4 ? 0 : bytes.readUInt32BE(0);
  const start = 4 + distance;
  const skipped = bytes.toString('latin1', start, start + 6) === exifSignature ? 6 : 0;
  return partSource(bytesSource(bytes), start + skipped, bytes.length);
}

function refusal(raw: string, reason: string): Refusal {
  return structureRefusal('HEIF', 'HEIF items', raw, reason);
}
