import type { Problem, RecordingKind } from '../domain/recording.ts';
import { beginsAsMp4 } from '../programs/openMedia.ts';
import { fileSource } from '../containers/byteSource.ts';
import type { LeftAside } from './fileNames.ts';
import { fingerprint } from './identity.ts';
import { openProblem, withFile } from './openFile.ts';
import { displayPath, type WalkedFile } from './walk.ts';

/** What the first bytes of a file say it is. `text` covers playlists, scripts and everything else that is printable. */
type Sniffed = 'clip' | 'still' | 'playlist' | 'text' | 'empty' | 'unknown';

/** How much of a file's beginning sniff() wants to see. */
const sniffedBytes = 1024;

// In hexadecimal digits.
const clipStarts = [
  /^1a45dfa3/,
  // SMPTE ST 377-1: the key of an MXF header partition up to the byte that tells open from closed.
  /^060e2b34020501010d0102010102/,
  // RIFF with AVI.
  /^52494646.{8}41564920/,
  // "CI", the header's length of 44 bytes, a compression of 0 to 2, version 1; little-endian (the published description).
  /^43492c000[012]000100/,
];
// JPEG, PNG, TIFF and BigTIFF in both byte orders, RIFF with WEBP.
const stillStarts = [/^ffd8ff/, /^89504e470d0a1a0a/, /^49492[ab]00/, /^4d4d002[ab]/, /^52494646.{8}57454250/];

/** Classifies a file by its first bytes, whatever its name says. */
export function sniff(head: Uint8Array): Sniffed {
  if (head.length === 0) return 'empty';
  const bytes = Buffer.from(head);
  const digits = bytes.toString('hex', 0, 32);
  const starts = (patterns: readonly RegExp[]): boolean => patterns.some((pattern) => pattern.test(digits));
  const isIsoStill = isoStillFormat(bytes) !== undefined;
  if ((beginsAsMp4(head) && !isIsoStill) || starts(clipStarts) || isTransportStream(head)) return 'clip';
  return isIsoStill || starts(stillStarts) ? 'still' : textKind(head);
}

/** ISO/IEC 13818-1: packets of 188 bytes begin with 0x47; recorders put a 4-byte time stamp before each. */
function isTransportStream(head: Uint8Array): boolean {
  const repeats = (first: number, step: number): boolean =>
    [0, 1, 2].every((packet) => head[first + packet * step] === 0x47);
  return repeats(0, 188) || repeats(4, 192);
}

function textKind(head: Uint8Array): Sniffed {
  if (head.some((byte) => byte < 0x09 || (byte > 0x0d && byte < 0x20 && byte !== 0x1b))) return 'unknown';
  const start = new TextDecoder().decode(head).trimStart().toLowerCase();
  return /^(#extm3u|ffconcat|v=0|\[playlist\]|<\?xml|<mpd|<smil)/.test(start) ? 'playlist' : 'text';
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

interface Recognised {
  readonly sizeBytes: number;
  readonly fingerprint: string;
}

/** Opens a file that its name makes a clip or still, and looks whether its first bytes agree. */
export async function recognise(
  walked: WalkedFile,
  named: RecordingKind,
): Promise<Recognised | { readonly leftAside: LeftAside } | Problem> {
  const path = displayPath(walked.names);
  if (walked.what === 'link')
    return {
      path,
      message: 'is a link, and links are not followed',
      hint: 'Copy the file itself into the dump.',
    };
  try {
    return await withFile(walked.file, (media) => {
      const source = fileSource(media);
      const sniffed = sniff(source.read(0, sniffedBytes));
      if (sniffed === named) return { sizeBytes: media.sizeBytes, fingerprint: fingerprint(source) };
      // ".ts" is also how the files of a programming language are called.
      if (sniffed === 'text' && path.toLowerCase().endsWith('.ts')) return { leftAside: 'other' };
      return mismatch(path, named, sniffed);
    });
  } catch (error) {
    return openProblem(path, walked.file, error);
  }
}

function mismatch(path: string, named: RecordingKind, sniffed: Sniffed): Problem {
  if (sniffed === 'empty')
    return {
      path,
      message: 'is empty',
      hint: 'The recording was never written. Nothing in it can be saved.',
    };
  const message = `is not a ${named === 'clip' ? 'video' : 'picture'} although its name says so`;
  return { path, message, hint: hints[sniffed] };
}

const hints: Readonly<Record<Exclude<Sniffed, 'empty'>, string>> = {
  clip: 'It holds a video: give it the ending of one, such as .mp4.',
  still: 'It holds a picture: give it the ending of one, such as .jpg.',
  playlist:
    'It is a list that points to other files, and such lists are not followed. Leave it out of the dump.',
  text: 'It holds text. Leave it out of the dump.',
  unknown: 'Its first bytes are those of no known format. Copy it from the card again.',
};
