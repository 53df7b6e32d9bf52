/** What a named value in telemetry can mean. `ignored` is recognised so that it is not taken for something else. */
export type TelemetryMeaning =
  | 'iso'
  | 'exposure-time'
  | 'shutter'
  | 'shutter-angle'
  | 'f-number'
  | 'metered-offset'
  | 'exposure-bias'
  | 'focal-length'
  | 'latitude'
  | 'longitude'
  | 'position'
  | 'altitude'
  | 'heading'
  | 'ignored';

// The words of the trade, not of any maker. A space stands for a space, "_", "-" or nothing.
const names: Readonly<Record<TelemetryMeaning, readonly string[]>> = {
  iso: [
    'iso',
    'iso speed',
    'iso speed ratings',
    'iso sensitivity',
    'sensitivity',
    'photographic sensitivity',
  ],
  'exposure-time': ['exposure', 'exposure time', 'exposure seconds', 'exposure duration', 'integration time'],
  // The two-letter ones stand on camera displays; they count only before a ratio.
  shutter: ['shutter', 'shutter speed', 'shutter time', 'ss', 'tv'],
  'shutter-angle': ['shutter angle'],
  'f-number': ['f number', 'f num', 'fnum', 'f stop', 'aperture', 'iris'],
  'metered-offset': [
    'exposure offset',
    'metered offset',
    'meter offset',
    'metered',
    'meter',
    'meter reading',
  ],
  'exposure-bias': [
    'exposure compensation',
    'exposure comp',
    'exposure bias',
    'exposure bias value',
    'compensation',
    'bias',
    'ev',
    'ev comp',
    'ev compensation',
  ],
  'focal-length': ['focal length', 'focal len', 'focal'],
  latitude: ['latitude', 'lat', 'gps latitude'],
  longitude: ['longitude', 'long', 'lon', 'lng', 'gps longitude'],
  position: ['position', 'gps position', 'location', 'coordinates', 'gps'],
  altitude: ['altitude', 'alt', 'absolute altitude', 'abs altitude', 'abs alt', 'gps altitude', 'elevation'],
  heading: ['heading', 'compass', 'compass heading', 'bearing', 'image direction'],
  ignored: ['focal length in 35mm film', 'focal length 35mm', 'iso min', 'iso max'],
};

// Before a name, these make it the name of something else: a limit, a wish, or a height above the take-off.
const qualifiers = [
  'relative',
  'rel',
  'min',
  'max',
  'minimum',
  'maximum',
  'target',
  'home',
  'takeoff',
  'base',
  'auto',
];

const meanings = new Map<string, TelemetryMeaning>();
for (const [meaning, words] of Object.entries(names)) {
  for (const word of words) meanings.set(bare(word), meaning as TelemetryMeaning);
}

/** The meaning of a name in any spelling: "ExposureTime", "exposure_time" and "EXPOSURE TIME" are one. */
export function meaningOf(name: string): TelemetryMeaning | undefined {
  return meanings.get(bare(name));
}

/** A pattern for any known name, longest first, with the word before it where that changes what it means. */
export const namePattern = Object.values(names)
  .flat()
  .toSorted((a, b) => b.length - a.length)
  .map((name) => name.replaceAll(' ', '[\\s_-]{0,2}'))
  .join('|');

export const qualifierPattern = `(?:${qualifiers.join('|')})[\\s_-]{0,2}`;

function bare(name: string): string {
  return name.toLowerCase().replace(/[\s_-]/g, '');
}
