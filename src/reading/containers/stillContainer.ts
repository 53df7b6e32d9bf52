import type { ByteSource } from './byteSource.ts';
import { heifContents } from './heif.ts';
import { jpegContents } from './jpeg.ts';
import { pngContents } from './png.ts';
import { avifBrands, heifBrands } from './stillBrands.ts';
import type { StillContents } from './stillContents.ts';
import { tiffContents } from './tiff.ts';
import { webpContents } from './webp.ts';

const pngSignature = '\x89PNG\r\n\x1a\n';

/** Recognises the container by its first bytes, never by a name, and cuts out what it carries. */
export function stillContents(source: ByteSource): StillContents | undefined {
  const head = source.read(0, 64);
  const text = head.toString('latin1');
  if (text.startsWith('\xff\xd8\xff')) return jpegContents(source);
  if (text.startsWith(pngSignature)) return pngContents(source);
  if (text.startsWith('II') || text.startsWith('MM'))
    return head.length >= 8 ? tiffContents(source) : undefined;
  if (text.startsWith('RIFF') && text.startsWith('WEBP', 8)) return webpContents(source);
  const brands = fileBrands(head);
  if (brands.some((brand) => avifBrands.has(brand))) return heifContents(source, 'avif');
  if (brands.some((brand) => heifBrands.has(brand))) return heifContents(source, 'heif');
  return undefined;
}

function fileBrands(head: Buffer): string[] {
  if (head.length < 16 || head.toString('latin1', 4, 8) !== 'ftyp') return [];
  const end = Math.min(head.length, head.readUInt32BE(0));
  const brands = [head.toString('latin1', 8, 12)];
  for (let at = 16; at + 4 <= end; at += 4) brands.push(head.toString('latin1', at, at + 4));
  return brands;
}
