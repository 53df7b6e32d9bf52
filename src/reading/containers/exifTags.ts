// Tag numbers and names of CIPA DC-008 (Exif 2.32), tables 4, 7, 8 and 15: only those that become facts.

export const pointerTags = { exif: 0x8769, gps: 0x8825 } as const;

export const mainTags: ReadonlyMap<number, string> = new Map([
  [0x010f, 'Make'],
  [0x0110, 'Model'],
  [0x0112, 'Orientation'],
]);

export const exifTags: ReadonlyMap<number, string> = new Map([
  [0x829a, 'ExposureTime'],
  [0x829d, 'FNumber'],
  [0x8822, 'ExposureProgram'],
  [0x8827, 'PhotographicSensitivity'],
  [0x8830, 'SensitivityType'],
  [0x8831, 'StandardOutputSensitivity'],
  [0x8832, 'RecommendedExposureIndex'],
  [0x8833, 'ISOSpeed'],
  [0x9003, 'DateTimeOriginal'],
  [0x9004, 'DateTimeDigitized'],
  [0x9011, 'OffsetTimeOriginal'],
  [0x9012, 'OffsetTimeDigitized'],
  [0x9201, 'ShutterSpeedValue'],
  [0x9202, 'ApertureValue'],
  [0x9204, 'ExposureBiasValue'],
  [0x9207, 'MeteringMode'],
  [0x920a, 'FocalLength'],
  [0x9291, 'SubSecTimeOriginal'],
  [0x9292, 'SubSecTimeDigitized'],
  [0xa001, 'ColorSpace'],
  [0xa402, 'ExposureMode'],
  [0xa403, 'WhiteBalance'],
  [0xa460, 'CompositeImage'],
]);

export const gpsTags: ReadonlyMap<number, string> = new Map([
  [0x01, 'GPSLatitudeRef'],
  [0x02, 'GPSLatitude'],
  [0x03, 'GPSLongitudeRef'],
  [0x04, 'GPSLongitude'],
  [0x05, 'GPSAltitudeRef'],
  [0x06, 'GPSAltitude'],
  [0x07, 'GPSTimeStamp'],
  [0x10, 'GPSImgDirectionRef'],
  [0x11, 'GPSImgDirection'],
  [0x1d, 'GPSDateStamp'],
]);

/** Signed by the standard. Writers that store them unsigned turn -1/3 into 1,431,655,765. */
export const signedTags: ReadonlySet<number> = new Set([0x9201, 0x9204]);
