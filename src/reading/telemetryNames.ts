/** What a named value in telemetry can mean. `ignored` is recognised so that it is not taken for something else. */
export type TelemetryMeaning =
  | 'iso'
  | 'exposure-time'
  | 'shutter'
  | 'shutter-angle'
  | 'f-number'
  | 'metered-offset'
  | 'exposure-bias'
  | 'ev'
  | 'focal-length'
  | 'white-balance'
  | 'latitude'
  | 'longitude'
  | 'position'
  | 'altitude'
  | 'height-over-start'
  | 'ground-speed'
  | 'heading'
  | 'camera-pitch'
  | 'ignored';

// The words of the trade, not of any maker. A space stands for a space, "_", "-", "." or nothing.
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
  // The two-letter ones stand on camera displays.
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
    'ev comp',
    'ev compensation',
  ],
  // What was dialled in, or what the meter said: textTracks.ts decides.
  ev: ['ev'],
  'focal-length': ['focal length', 'focal len', 'focal'],
  'white-balance': ['ct', 'colour temperature', 'color temperature', 'white balance', 'wb'],
  latitude: ['latitude', 'lat', 'gps latitude'],
  // With the spelling that many aircraft write.
  longitude: ['longitude', 'longtitude', 'long', 'lon', 'lng', 'gps longitude'],
  position: ['position', 'gps position', 'location', 'coordinates', 'gps', 'rtk'],
  altitude: ['altitude', 'alt', 'absolute altitude', 'abs altitude', 'abs alt', 'gps altitude', 'elevation'],
  // A barometer on board is set to zero at the start (common practice, no source).
  'height-over-start': [
    'height',
    'h',
    'hb',
    'barometer',
    'barometric height',
    'relative altitude',
    'relative alt',
    'relative height',
    'rel altitude',
    'rel alt',
    'rel height',
    'height over start',
  ],
  'ground-speed': ['h s', 'horizontal speed', 'h speed', 'ground speed', 'speed over ground'],
  heading: [
    'heading',
    'compass',
    'compass heading',
    'bearing',
    'image direction',
    'gb yaw',
    'gimbal yaw',
    'camera yaw',
    'camera heading',
  ],
  'camera-pitch': ['gb pitch', 'gimbal pitch', 'camera pitch'],
  ignored: ['focal length in 35mm film', 'focal length 35mm', 'iso min', 'iso max'],
};

const lengthUnits = ['m', 'metres', 'meters', 'ft', 'feet'];

// Names that mean many things.
const unitsOfShortNames: ReadonlyMap<string, readonly string[]> = new Map([
  ['h', lengthUnits],
  ['height', lengthUnits],
  ['hs', ['m/s', 'km/h', 'kmh', 'kph', 'mph']],
]);

/** The units of which a number must have one to count under a name that means many things; undefined for other names. */
export function requiredUnits(name: string): readonly string[] | undefined {
  return unitsOfShortNames.get(bareName(name));
}

// Before a name, these make it the name of something else: a limit, a wish, or another place.
const qualifiers = ['min', 'max', 'minimum', 'maximum', 'target', 'home', 'takeoff', 'base', 'auto'];

const meanings = new Map<string, TelemetryMeaning>();
for (const [meaning, words] of Object.entries(names)) {
  for (const word of words) meanings.set(bareName(word), meaning as TelemetryMeaning);
}

/** The meaning of a name in any spelling: "ExposureTime", "exposure_time" and "EXPOSURE TIME" are one. */
export function meaningOf(name: string): TelemetryMeaning | undefined {
  return meanings.get(bareName(name));
}

const anyName = Object.values(names)
  .flat()
  .toSorted((a, b) => b.length - a.length)
  .map((name) => name.replaceAll(' ', '[\\s_.-]{0,2}'))
  .join('|');

/** A pattern with named groups for any known name, longest first, and the word before it that changes what it means. */
export const namePattern = `(?<qualifier>(?:${qualifiers.join('|')})[\\s_-]{0,2})?(?<name>${anyName})`;

/** A name as letters and digits alone. */
function bareName(name: string): string {
  return name.toLowerCase().replace(/[\s_.-]/g, '');
}
