import { ExifTool, type WriteTags } from 'exiftool-vendored';
import { placeOf, recordingNumber } from './place.ts';
import type { StillPlan } from './plan.ts';

export interface Tagger {
  readonly tagStill: (plan: StillPlan, file: string) => Promise<void>;
  readonly tagThumbnail: (file: string, recordedAt: string) => Promise<void>;
  readonly embedXmp: (file: string, packetFile: string) => Promise<void>;
  readonly end: () => Promise<void>;
}

export function openTagger(): Tagger {
  const exiftool = new ExifTool({ maxProcs: 1 });
  const write = async (file: string, tags: object, more: readonly string[] = []): Promise<void> => {
    const { warnings = [] } = await exiftool.write(file, tags as WriteTags, {
      writeArgs: ['-overwrite_original', ...more],
    });
    if (warnings.length > 0) throw new Error(`exiftool on ${file}: ${warnings.join('; ')}`);
  };
  return {
    tagStill: (plan, file) => write(file, stillTags(plan)),
    tagThumbnail: (file, recordedAt) =>
      write(file, {
        ...CAMERA,
        'EXIF:DateTimeOriginal': exifTime(recordedAt),
        'EXIF:OffsetTimeOriginal': 'Z',
      }),
    // ExifTool reads the whole packet from the file and writes the uuid box of ISO 16684-3.
    embedXmp: (file, packetFile) => write(file, {}, [`-XMP<=${packetFile}`]),
    end: () => exiftool.end(),
  };
}

const CAMERA = { 'EXIF:Make': 'Aeroform', 'EXIF:Model': 'A1' };

/** A trailing # makes ExifTool take the stored number instead of its words for it. */
function stillTags(plan: StillPlan): Record<string, string | number> {
  const place = placeOf(recordingNumber(plan.file));
  return {
    ...CAMERA,
    'EXIF:Orientation#': plan.orientation,
    'EXIF:ExposureTime': plan.exposure,
    'EXIF:FNumber': plan.fNumber,
    'EXIF:ISO': plan.iso,
    'EXIF:ExposureCompensation': plan.biasStops,
    'EXIF:ExposureProgram#': 2,
    'EXIF:ExposureMode#': plan.autoBracket ? 2 : 0,
    'EXIF:MeteringMode#': 5,
    'EXIF:WhiteBalance#': 1,
    'EXIF:FocalLength': 10.3,
    'EXIF:FocalLengthIn35mmFormat': 28,
    'EXIF:DateTimeOriginal': exifTime(plan.recordedAt),
    'EXIF:SubSecTimeOriginal': plan.recordedAt.slice(20, 23),
    'EXIF:OffsetTimeOriginal': plan.recordedAt.slice(23),
    'EXIF:GPSLatitude': Math.abs(place.latitude),
    'EXIF:GPSLatitudeRef': place.latitude < 0 ? 'S' : 'N',
    'EXIF:GPSLongitude': Math.abs(place.longitude),
    'EXIF:GPSLongitudeRef': place.longitude < 0 ? 'W' : 'E',
    'EXIF:GPSAltitude': place.altitudeMetres,
    'EXIF:GPSAltitudeRef#': 0,
    'EXIF:GPSImgDirection': place.headingDegrees,
    'EXIF:GPSImgDirectionRef': 'T',
  };
}

function exifTime(recordedAt: string): string {
  return recordedAt.slice(0, 19).replaceAll('-', ':').replace('T', ' ');
}
