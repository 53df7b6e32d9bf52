import type { Refusal } from '../../domain/recording.ts';
import type { ByteSource } from './byteSource.ts';
import { maxXmpBytes } from './metadataBounds.ts';
import type { PictureHeader, StillContents } from './stillContents.ts';
import {
  tiffDirectory,
  tiffHeader,
  integerValues,
  type TiffDirectory,
  type TiffHeader,
} from './tiffDirectory.ts';

// TIFF 6.0 section 8; NewSubfileType and SubIFDs: TIFF technical note 1; DNGVersion: DNG 1.4 specification.
const tag = {
  newSubfileType: 0x00fe,
  imageWidth: 0x0100,
  imageLength: 0x0101,
  bitsPerSample: 0x0102,
  subDirectories: 0x014a,
  xmp: 0x02bc,
  dngVersion: 0xc612,
} as const;

const pictureTags = new Map<number, string>([
  [tag.newSubfileType, 'NewSubfileType'],
  [tag.imageWidth, 'ImageWidth'],
  [tag.imageLength, 'ImageLength'],
  [tag.bitsPerSample, 'BitsPerSample'],
]);
const mainTags = new Map<number, string>([
  ...pictureTags,
  [tag.subDirectories, 'SubIFDs'],
  [tag.xmp, 'XMP'],
  [tag.dngVersion, 'DNGVersion'],
]);
const maxSubDirectories = 8;

/** A TIFF or DNG file is itself the block that carries EXIF; only its directories are read, never its strips. */
export function tiffContents(source: ByteSource): StillContents {
  const header = tiffHeader(source);
  if (!header) {
    const reason = 'its header is damaged';
    const refusals: Refusal[] = [{ what: 'TIFF', raw: 'header', source: 'TIFF', reason }];
    return { format: 'tiff', picture: {}, exif: [], xmp: [], refusals };
  }
  const main = directoryAt(source, header, header.firstDirectory, mainTags, maxXmpBytes);
  const xmp = main.entries.get(tag.xmp)?.bytes;
  return {
    format: main.entries.has(tag.dngVersion) ? 'dng' : 'tiff',
    picture: largestPicture(source, header, main),
    exif: [source],
    xmp: xmp ? [xmp] : [],
    refusals: main.refusals,
  };
}

function directoryAt(
  source: ByteSource,
  header: TiffHeader,
  offset: number,
  wanted: ReadonlyMap<number, string>,
  maxValueBytes: number,
): TiffDirectory {
  return tiffDirectory(source, header, offset, wanted, { label: 'TIFF', maxValueBytes });
}

// The first directory of a DNG is often its preview; the picture then lies one level down and is never reduced.
function largestPicture(source: ByteSource, header: TiffHeader, main: TiffDirectory): PictureHeader {
  const offsets = integerValues(main.entries.get(tag.subDirectories), header).slice(0, maxSubDirectories);
  const directories = [
    main,
    ...offsets.map((offset) => directoryAt(source, header, offset, pictureTags, 64)),
  ];
  const pictures = directories
    .filter((directory) => !isReduced(directory, header))
    .map((each) => sizes(each, header));
  const area = (picture: PictureHeader) => (picture.width ?? 0) * (picture.height ?? 0);
  return pictures.reduce((best, each) => (area(each) > area(best) ? each : best), {});
}

function isReduced(directory: TiffDirectory, header: TiffHeader): boolean {
  const [kind = 0] = integerValues(directory.entries.get(tag.newSubfileType), header);
  return (kind & 1) === 1;
}

function sizes(directory: TiffDirectory, header: TiffHeader): PictureHeader {
  const first = (wanted: number) => integerValues(directory.entries.get(wanted), header)[0];
  const width = first(tag.imageWidth);
  const height = first(tag.imageLength);
  const bitDepth = first(tag.bitsPerSample);
  if (!width || !height) return {};
  return bitDepth ? { width, height, bitDepth } : { width, height };
}
