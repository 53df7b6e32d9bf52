import type { PictureHeader, StillContents, StillFormat } from './containers/stillContents.ts';
import type { ExifReading } from './exif.ts';
import { sighting, type FactSighting } from './sighting.ts';

const formatNames: Readonly<Record<StillFormat, string>> = {
  jpeg: 'JPEG',
  png: 'PNG',
  tiff: 'TIFF',
  dng: 'DNG',
  webp: 'WebP',
  heif: 'HEIF',
  avif: 'AVIF',
};

// Clockwise turn that shows each EXIF orientation upright (CIPA DC-008, Orientation, after TIFF 6.0); for the mirrored
// ones (2, 4, 5, 7) the turn after mirroring left to right.
const turns: Readonly<Record<number, number>> = { 1: 0, 2: 0, 3: 180, 4: 180, 5: 270, 6: 90, 7: 90, 8: 270 };

const fullRangeFormats = new Set<StillFormat>(['jpeg', 'png', 'webp']);
const srgbColorSpace = 1;

/** What the header of a still says of its picture; EXIF adds how it is turned and what its colours mean. */
export function pictureFacts({ format, picture }: StillContents, exif: ExifReading): FactSighting[] {
  const source = `${formatNames[format]} header`;
  const stream = 'stream';
  return [
    sighting('codec', format, stream, source),
    ...sizeFacts(format, picture, exif),
    ...(picture.bitDepth === undefined ? [] : [sighting('bitDepth', picture.bitDepth, stream, source)]),
    ...rangeFacts(format, picture, source),
    ...transferFacts(format, picture, exif, source),
  ];
}

function sizeFacts(format: StillFormat, picture: PictureHeader, exif: ExifReading): FactSighting[] {
  const { width, height } = picture;
  const header = `${formatNames[format]} header`;
  // HEIF turns by its own properties and gives EXIF orientation no say (ISO/IEC 23008-12 annex A).
  const turnsItself = format === 'heif' || format === 'avif';
  const rotationDegrees = turnsItself ? (picture.rotationDegrees ?? 0) : turns[exif.orientation ?? 0];
  const turnSource = turnsItself ? header : 'EXIF Orientation';
  const turned = rotationDegrees === 90 || rotationDegrees === 270;
  const source = turned ? `${header}, turned by ${turnsItself ? 'its irot property' : turnSource}` : header;
  return [
    ...(width && height
      ? [
          sighting('width', turned ? height : width, 'stream', source),
          sighting('height', turned ? width : height, 'stream', source),
        ]
      : []),
    ...(rotationDegrees === undefined
      ? []
      : [sighting('rotationDegrees', rotationDegrees, turnsItself ? 'stream' : 'exif', turnSource)]),
  ];
}

function rangeFacts(format: StillFormat, picture: PictureHeader, source: string): FactSighting[] {
  if (picture.range) return [sighting('range', picture.range, 'stream', source)];
  return fullRangeFormats.has(format) ? [sighting('range', 'full', 'stream', source)] : [];
}

function transferFacts(
  format: StillFormat,
  picture: PictureHeader,
  { colorSpace }: ExifReading,
  source: string,
): FactSighting[] {
  if (picture.transfer) return [sighting('transfer', picture.transfer, 'stream', source)];
  if (!fullRangeFormats.has(format) || picture.bitDepth !== 8) return [];
  if (picture.colour === 'srgb') return [sighting('transfer', 'srgb', 'stream', source)];
  if (colorSpace === srgbColorSpace) return [sighting('transfer', 'srgb', 'exif', 'EXIF ColorSpace')];
  if (colorSpace !== undefined || picture.colour === 'profile') return [];
  return [sighting('transfer', 'srgb', 'stream', `${source} (assumed: no colour space is recorded)`)];
}
