import type { RangeName, Refusal, TransferName } from '../../domain/recording.ts';
import type { ByteSource } from './byteSource.ts';

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

/** One part of an extended XMP packet, as it stands in a JPEG segment. */
export interface ExtendedXmpPart {
  readonly guid: string;
  readonly totalBytes: number;
  readonly offset: number;
  readonly bytes: Uint8Array;
}

/** What one walk over a container cut out. */
export interface StillContents {
  readonly format: StillFormat;
  readonly picture: PictureHeader;
  /** TIFF structures that carry EXIF, in file order. */
  readonly exif: readonly ByteSource[];
  readonly xmp: readonly Uint8Array[];
  readonly extendedXmp?: readonly ExtendedXmpPart[];
  readonly refusals: readonly Refusal[];
}

export function structureRefusal(source: string, what: string, raw: string, reason: string): Refusal {
  return { what, raw, source, reason };
}
