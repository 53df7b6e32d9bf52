// Before PNG had chunks for them, EXIF and XMP were put into text chunks as hexadecimal digits under these keywords; many
// files of converters still carry them so (common practice; the keywords are those of several image libraries).

const keyword = /^Raw profile type (exif|APP1|xmp)\0/;
const exifSignature = Buffer.from('Exif\0\0', 'latin1');
const xmpSignature = Buffer.from('http://ns.adobe.com/xap/1.0/\0', 'latin1');

/** What a raw profile holds: a TIFF structure or a packet. */
export type RawProfile =
  { readonly is: 'exif'; readonly bytes: Buffer } | { readonly is: 'xmp'; readonly bytes: Buffer };

/** Enough bytes of a text chunk to tell whether it is a raw profile. */
export const rawProfileKeywordBytes = 24;

export function isRawProfile(head: Buffer): boolean {
  return keyword.test(head.toString('latin1'));
}

/** A name, the number of bytes, and that many bytes as digits, each on lines of their own; undefined for all else. */
export function rawProfile(text: Buffer): RawProfile | undefined {
  const head = /^\s*([\w ]{1,16})\s*\n\s*(\d{1,8})\s*\n/.exec(text.toString('latin1', 0, 64));
  if (!head) return undefined;
  const digits = text.toString('latin1', head[0].length).replaceAll(/\s/g, '');
  const bytes = Buffer.from(digits, 'hex');
  const claimed = Number(head[2]);
  if (claimed === 0 || bytes.length < claimed) return undefined;
  return unpacked(bytes.subarray(0, claimed));
}

/** Both are often still wrapped as a segment of a JPEG would have them. */
function unpacked(bytes: Buffer): RawProfile {
  if (bytes.indexOf(xmpSignature) === 0) return { is: 'xmp', bytes: bytes.subarray(xmpSignature.length) };
  if (bytes.indexOf(exifSignature) === 0) return { is: 'exif', bytes: bytes.subarray(exifSignature.length) };
  const order = bytes.toString('latin1', 0, 2);
  return { is: order === 'II' || order === 'MM' ? 'exif' : 'xmp', bytes };
}
