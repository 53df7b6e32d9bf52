import type { RangeName, Refusal, TransferName } from '../domain/recording.ts';
import { partSource, type ByteSource } from './byteSource.ts';

/** What one walk over a still's container cut out. */
export interface StillContents {
  readonly format: StillFormat;
  readonly picture: PictureHeader;
  /** TIFF structures that carry EXIF, in file order. */
  readonly exif: readonly ByteSource[];
  readonly xmp: readonly Uint8Array[];
  readonly extendedXmp?: readonly ExtendedXmpPart[];
  readonly refusals: readonly Refusal[];
}

type StillFormat = 'jpeg' | 'png' | 'tiff' | 'dng' | 'webp' | 'heif' | 'avif';

/** What the container itself says of the picture, before any EXIF orientation. */
export interface PictureHeader {
  readonly width?: number;
  readonly height?: number;
  readonly bitDepth?: number;
  /** Clockwise turn that the container itself asks for (HEIF `irot`); EXIF orientation then has no say. */
  readonly rotationDegrees?: number;
  /** `srgb`: the container says so. `profile`: it carries a colour description that is not read here. */
  readonly colour?: 'srgb' | 'profile';
  readonly transfer?: TransferName;
  readonly range?: RangeName;
}

/** No EXIF block of a still needs more: a JPEG segment holds 64 KiB. */
export const maxExifBytes = 1024 * 1024;

/** What stands before the TIFF structure in a JPEG segment (CIPA DC-008, 4.7.2). */
export const exifSignature = 'Exif\0\0';

/** The TIFF structure in a block of another container, where some writers keep the signature of JPEG segments. */
export function withoutExifSignature(block: ByteSource): ByteSource {
  const length = exifSignature.length;
  return block.read(0, length).toString('latin1') === exifSignature
    ? partSource(block, length, block.sizeBytes)
    : block;
}

/** XMP packets above this are refused: the XML reader needs seconds and hundreds of megabytes for larger ones. */
export const maxXmpBytes = 1024 * 1024;

/** What stands before a packet in a JPEG segment (XMP specification part 3, 1.1.3). */
export const xmpSignature = 'http://ns.adobe.com/xap/1.0/\0';

/** Cuts packets out of a clip by their places; what is too large is refused unread. */
export function clipXmp(
  source: ByteSource,
  places: readonly { readonly start: number; readonly end: number }[],
): Pick<StillContents, 'xmp' | 'refusals'> {
  const xmp: Uint8Array[] = [];
  const refusals: Refusal[] = [];
  for (const { start, end } of places) {
    const length = Math.max(0, end - start);
    const reason = `is larger than ${maxXmpBytes} bytes`;
    if (length <= maxXmpBytes) xmp.push(source.read(start, length));
    else refusals.push({ what: 'XMP', raw: `${length} bytes`, source: 'XMP in the clip', reason });
  }
  return { xmp, refusals };
}

/** One part of an extended XMP packet, as it stands in a JPEG segment. */
interface ExtendedXmpPart {
  readonly guid: string;
  readonly totalBytes: number;
  readonly offset: number;
  readonly bytes: Uint8Array;
}
