import type { ByteSource } from './byteSource.ts';
import { heifContents } from './heif.ts';
import { jpegContents } from './jpeg.ts';
import { pngContents } from './png.ts';
import type { StillContents } from './stillContents.ts';
import { tiffContents } from './tiff.ts';
import { webpContents } from './webp.ts';

/** Recognises the container by its first bytes, never by a name, and cuts out what it carries. */
export function stillContents(source: ByteSource): StillContents | undefined {
  const head = source.read(0, 256);
  const text = head.toString('latin1');
  if (text.startsWith('\xff\xd8\xff')) return jpegContents(source);
  if (text.startsWith('\x89PNG\r\n\x1a\n')) return pngContents(source);
  if (text.startsWith('II') || text.startsWith('MM'))
    return head.length >= 8 ? tiffContents(source) : undefined;
  if (text.startsWith('RIFF') && text.startsWith('WEBP', 8)) return webpContents(source);
  const format = isoStillFormat(head);
  return format && heifContents(source, format);
}

// Brands of still pictures in ISO base media files: ISO/IEC 23008-12 (HEIF: the formats, and HEVC, AVC, JPEG and VVC in
// them), ISO/IEC 15444-16 (JPEG 2000), ISO/IEC 23000-22 (MIAF) and the AV1 Image File Format.

const heifBrands: ReadonlySet<string> = new Set(
  'mif1 mif2 mif3 msf1 miaf heic heix heim heis hevc hevx avci avcs jpeg jpgs vvic vvis j2ki j2is'.split(' '),
);

const avifBrands: ReadonlySet<string> = new Set(['avif', 'avis']);

// ISO/IEC 14496-12 and -14, QuickTime. A movie may promise to be a picture as well, but is a movie first.
const movieBrand = /^(iso.|mp4.|avc1|qt {2}|M4V |3g..)$/;

/** The longest list of brands that is looked through. */
const maxBoxBytes = 256;

/** What an ISO base media file holds by its brands: the first of them says what it is first, the others what it is too. */
export function isoStillFormat(head: Buffer): 'heif' | 'avif' | undefined {
  const [first, ...others] = fileBrands(head);
  if (first === undefined || movieBrand.test(first)) return undefined;
  const brands = [first, ...others];
  if (brands.some((brand) => avifBrands.has(brand))) return 'avif';
  return brands.some((brand) => heifBrands.has(brand)) ? 'heif' : undefined;
}

function fileBrands(head: Buffer): string[] {
  if (head.length < 16 || head.toString('latin1', 4, 8) !== 'ftyp') return [];
  const end = Math.min(head.length, maxBoxBytes, head.readUInt32BE(0));
  const brandAt = (at: number) => head.toString('latin1', at, at + 4);
  const brands = [brandAt(8)];
  // What is the version elsewhere names the coding there (ISO/IEC 23008-12, low-overhead image files).
  if (brands[0] === 'mif3') brands.push(brandAt(12));
  for (let at = 16; at + 4 <= end; at += 4) brands.push(brandAt(at));
  return brands;
}
