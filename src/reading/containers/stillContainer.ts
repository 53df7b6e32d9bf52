import type { ByteSource } from './byteSource.ts';
import { heifContents } from './heif.ts';
import { jpegContents } from './jpeg.ts';
import { pngContents } from './png.ts';
import { stillFormat } from './stillBrands.ts';
import type { StillContents } from './stillContents.ts';
import { tiffContents } from './tiff.ts';
import { webpContents } from './webp.ts';

const pngSignature = '\x89PNG\r\n\x1a\n';

/** Recognises the container by its first bytes, never by a name, and cuts out what it carries. */
export function stillContents(source: ByteSource): StillContents | undefined {
  const head = source.read(0, 256);
  const text = head.toString('latin1');
  if (text.startsWith('\xff\xd8\xff')) return jpegContents(source);
  if (text.startsWith(pngSignature)) return pngContents(source);
  if (text.startsWith('II') || text.startsWith('MM'))
    return head.length >= 8 ? tiffContents(source) : undefined;
  if (text.startsWith('RIFF') && text.startsWith('WEBP', 8)) return webpContents(source);
  const format = stillFormat(head);
  return format && heifContents(source, format);
}
