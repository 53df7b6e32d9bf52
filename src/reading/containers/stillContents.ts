import type { RangeName, Refusal, TransferName } from '../../domain/recording.ts';
import { partSource, type ByteSource } from './byteSource.ts';
import type { ExtendedXmpPart } from './xmpPackets.ts';

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

export type StillFormat = 'jpeg' | 'png' | 'tiff' | 'dng' | 'webp' | 'heif' | 'avif';

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
