import { exposureSecondsForAngle } from '../domain/shutter.ts';
import type { BoundedFact } from './recordedNumber.ts';

// The words of the trade, not of any maker. A space stands for a space, "_", "-", "." or nothing.
const names = {
  iso: 'iso, iso speed, iso speed ratings, iso sensitivity, sensitivity, photographic sensitivity',
  'exposure-time': 'exposure, exposure time, exposure seconds, exposure duration, integration time',
  // The two-letter ones stand on camera displays.
  shutter: 'shutter, shutter speed, shutter time, ss, tv',
  'shutter-angle': 'shutter angle',
  'f-number': 'f number, f num, fnum, f stop, aperture, iris',
  'metered-offset': 'exposure offset, metered offset, meter offset, metered, meter, meter reading',
  'exposure-bias':
    'exposure compensation, exposure comp, exposure bias, exposure bias value, compensation, bias, ' +
    'ev comp, ev compensation',
  // What was dialled in, or what the meter said: textTracks.ts decides.
  ev: 'ev',
  'focal-length': 'focal length, focal len, focal',
  'white-balance': 'ct, colour temperature, color temperature, white balance, wb',
  latitude: 'latitude, lat, gps latitude',
  // With the spelling that many aircraft write.
  longitude: 'longitude, longtitude, long, lon, lng, gps longitude',
  position: 'position, gps position, location, coordinates, gps, rtk',
  altitude: 'altitude, alt, absolute altitude, abs altitude, abs alt, gps altitude, elevation',
  // A barometer on board is set to zero at the start (common practice, no source).
  'height-over-start':
    'height, h, hb, barometer, barometric height, relative altitude, relative alt, relative height, ' +
    'rel altitude, rel alt, rel height, height over start',
  'ground-speed': 'h s, horizontal speed, h speed, ground speed, speed over ground',
  heading:
    'heading, compass, compass heading, bearing, image direction, gb yaw, gimbal yaw, camera yaw, ' +
    'camera heading',
  'camera-pitch': 'gb pitch, gimbal pitch, camera pitch',
  // These are recognised so that they are not taken for something else.
  ignored: 'focal length in 35mm film, focal length 35mm, iso min, iso max',
};

type Meaning = keyof typeof names;

const lengthUnits = ['m', 'metres', 'meters', 'ft', 'feet'];
const speedUnits = ['m/s', 'km/h', 'kmh', 'kph', 'mph'];
// Names that mean many things.
const unitsOfShortNames = new Map<string, readonly string[]>([
  ['h', lengthUnits],
  ['height', lengthUnits],
  ['hs', speedUnits],
]);

/** The units of which a number must have one to count under a name that means many things; undefined for other names. */
export function requiredUnits(name: string): readonly string[] | undefined {
  return unitsOfShortNames.get(bareName(name));
}

// Before a name, these make it the name of something else: a limit, a wish, or another place.
const qualifiers = ['min', 'max', 'minimum', 'maximum', 'target', 'home', 'takeoff', 'base', 'auto'];

const meanings = new Map(
  Object.entries(names).flatMap(([meaning, words]) =>
    words.split(', ').map((name) => [bareName(name), meaning as Meaning] as const),
  ),
);

/** The meaning of a name in any spelling: "ExposureTime", "exposure_time" and "EXPOSURE TIME" are one. */
export function meaningOf(name: string): Meaning | undefined {
  return meanings.get(bareName(name));
}

const anyName = Object.values(names)
  .flatMap((words) => words.split(', '))
  .toSorted((a, b) => b.length - a.length)
  .map((name) => name.replaceAll(' ', '[\\s_.-]{0,2}'))
  .join('|');

/** A pattern with named groups for any known name, longest first, and the word before it that changes what it means. */
export const namePattern = `(?<qualifier>(?:${qualifiers.join('|')})[\\s_-]{0,2})?(?<name>${anyName})`;

function bareName(name: string): string {
  return name.toLowerCase().replace(/[\s_.-]/g, '');
}

/** A value of telemetry as it stands in the text: a number, or a ratio, with what stood round it. */
export interface TelemetryValue {
  readonly raw: string;
  readonly number: number;
  /** The number as it was written; absent where it was stored as a number, which needs no reading of notations. */
  readonly written?: string;
  /** Set where a ratio such as 1/50 was written; `number` is then already divided. */
  readonly ratio: boolean;
  readonly signed: boolean;
  /** Lower case, without blanks: "s", "ms", "us", "°", "mm", "m", "m/s", "ev", or a hemisphere letter. */
  readonly unit: string;
}

const decimal = String.raw`[+-]?(?:\d{1,12}(?:\.\d{0,20})?|\.\d{1,20})(?:e[+-]?\d{1,2}(?![\d.]))?`;
const units =
  'seconds|sec|s|ms|us|µs|μs|°|degrees|deg|mm|metres|meters|m/s|km/h|kmh|kph|mph|m|ft|feet|ev|stops|k|[nsew]';
const unit = String.raw`(?:\s{0,2}(?:${units})(?![\p{L}\p{N}/])|\s{0,2}°|")`;

/** A pattern with named groups for one value. */
export const valuePattern = `(?<lead>f[ \\t]?/?[ \\t]?|[nsew][ \\t]?:?[ \\t]?)?(?<top>${decimal})(?:[ \\t]?/[ \\t]?(?<bottom>\\d{1,12}(?:\\.\\d{1,12})?))?(?<unit>${unit})?`;

export function readValue(raw: string, groups: Readonly<Record<string, string | undefined>>): TelemetryValue {
  const top = groups['top'] ?? '';
  const bottom = groups['bottom'];
  const hemisphere = /^[nsew]/i.exec(groups['lead'] ?? '')?.[0].toLowerCase() ?? '';
  return {
    raw,
    number: bottom === undefined ? Number(top) : Number(top) / Number(bottom),
    written: top,
    ratio: bottom !== undefined,
    signed: /^[+-]/.test(top),
    unit: (groups['unit'] ?? '').trim().toLowerCase().replace('"', 's').replace('μ', 'µ') || hemisphere,
  };
}

/** A value, or why there is none, as the rest of a sentence. */
type ValueOrReason = number | string;

export interface StatedFact {
  readonly fact: BoundedFact;
  readonly raw: string;
  readonly value: ValueOrReason;
}

type StatedMeaning = Exclude<Meaning, 'ignored' | 'position'>;

const facts: Readonly<Record<StatedMeaning, BoundedFact>> = {
  iso: 'iso',
  'exposure-time': 'exposureSeconds',
  shutter: 'exposureSeconds',
  'shutter-angle': 'exposureSeconds',
  'f-number': 'fNumber',
  'metered-offset': 'meteredOffsetStops',
  'exposure-bias': 'exposureBiasStops',
  ev: 'evAsReadStops',
  'focal-length': 'focalLengthMm',
  'white-balance': 'whiteBalanceKelvin',
  latitude: 'latitude',
  longitude: 'longitude',
  altitude: 'altitudeMetres',
  'height-over-start': 'heightOverStartMetres',
  'ground-speed': 'groundSpeedMetresPerSecond',
  heading: 'headingDegrees',
  'camera-pitch': 'cameraPitchDegrees',
};

/** The fact that a value states under a name of one meaning. `framesPerSecond` is the capture rate. */
export function statedFact(
  meaning: StatedMeaning,
  value: TelemetryValue,
  framesPerSecond: number | undefined,
): StatedFact {
  return { fact: facts[meaning], raw: value.raw, value: valueUnder(meaning, value, framesPerSecond) };
}

function valueUnder(
  meaning: StatedMeaning,
  value: TelemetryValue,
  framesPerSecond: number | undefined,
): ValueOrReason {
  switch (meaning) {
    case 'shutter':
    case 'exposure-time':
      return meaning === 'shutter' && isAngle(value)
        ? exposureSecondsOfAngle(value, framesPerSecond)
        : exposureSecondsOf(value, meaning, framesPerSecond);
    case 'shutter-angle':
      return exposureSecondsOfAngle(value, framesPerSecond);
    case 'f-number':
      return fNumberOf(value);
    case 'focal-length':
      return focalLengthMmOf(value);
    case 'latitude':
      return degreesOf(value, 'n', 's');
    case 'longitude':
      return degreesOf(value, 'e', 'w');
    case 'heading':
      return directionDegreesOf(value);
    default:
      return inUnit(value, plainUnits[meaning]);
  }
}

/** What one of a quantity's units is in its canonical one; the plain number has that of ''. */
type UnitScale = Readonly<Record<string, number>>;

const stops: UnitScale = { '': 1, ev: 1, stops: 1 };
/** The international foot of 1959 is 0.3048 m by definition. */
const metresPerUnit: UnitScale = { '': 1, m: 1, metres: 1, meters: 1, ft: 0.3048, feet: 0.3048 };
/** Without its unit a speed could be any; the international mile is 1609.344 m. */
const metresPerSecondPerUnit: UnitScale = {
  'm/s': 1,
  'km/h': 1 / 3.6,
  kmh: 1 / 3.6,
  kph: 1 / 3.6,
  mph: 1609.344 / 3600,
};

const plainUnits = {
  iso: { '': 1 },
  'metered-offset': stops,
  'exposure-bias': stops,
  ev: stops,
  'white-balance': { '': 1, k: 1 },
  altitude: metresPerUnit,
  'height-over-start': metresPerUnit,
  'ground-speed': metresPerSecondPerUnit,
  'camera-pitch': { '': 1, '°': 1, deg: 1, degrees: 1 },
} as const satisfies Partial<Record<StatedMeaning, UnitScale>>;

function inUnit({ number, unit }: TelemetryValue, scale: UnitScale): ValueOrReason {
  const factor = Object.hasOwn(scale, unit) ? scale[unit] : undefined;
  if (factor !== undefined) return number * factor;
  return unit === '' ? 'has no unit' : `has the unit ${unit}`;
}

// Divided by, which keeps whole numbers exact: 4,000,000 ns are 1/250 s.
const unitsPerSecond: UnitScale = {
  ...sameUnit('s sec secs second seconds', 1),
  ...sameUnit('ms millisecond milliseconds', 1e3),
  ...sameUnit('us µs microsecond microseconds', 1e6),
  ...sameUnit('ns nanosecond nanoseconds', 1e9),
};

function sameUnit(spellings: string, scale: number): UnitScale {
  return Object.fromEntries(spellings.split(' ').map((spelling) => [spelling, scale]));
}

// A number under "shutter" is the bottom of a fraction (common practice, no source). Below this it could as well be
// seconds, where no frame rate is known that rules them out.
const smallestBareShutter = 8;
// Nominal times are up to 0.1 stop from the exact ones: 1/25 s at 25.1 frames/s is no contradiction.
const longestOfFrame = 2 ** 0.1;

function exposureSecondsOf(
  value: TelemetryValue,
  under: 'shutter' | 'exposure-time',
  framesPerSecond: number | undefined,
): ValueOrReason {
  const perSecond = unitsPerSecond[value.unit];
  if (perSecond !== undefined) return value.number / perSecond;
  if (value.unit !== '') return `is in ${value.unit}, not in seconds`;
  if (value.signed) return 'has a sign, so it is no time';
  if (value.ratio || (value.written === undefined && value.number <= 1)) return value.number;
  const seconds = value.number > 1 && under === 'shutter' ? 1 / value.number : value.number;
  // What is written without "1/" or "s" is a guess, and no shutter is open longer than its frame lasts.
  const tooLong = framesPerSecond !== undefined && seconds * framesPerSecond > longestOfFrame;
  if (
    value.number > 1 &&
    (under !== 'shutter' || (framesPerSecond === undefined && value.number < smallestBareShutter))
  )
    return 'could mean seconds or a part of a second';
  return tooLong ? 'would be longer than a frame lasts' : seconds;
}

function exposureSecondsOfAngle(value: TelemetryValue, framesPerSecond: number | undefined): ValueOrReason {
  if (value.unit !== '' && !isAngle(value)) return `has the unit ${value.unit}`;
  if (!(value.number > 0 && value.number <= 360)) return 'is not an angle above 0 and up to 360 degrees';
  if (framesPerSecond === undefined) return 'is an angle, and the frame rate is not known';
  return exposureSecondsForAngle({ angleDegrees: value.number, framesPerSecond });
}

function isAngle({ unit }: TelemetryValue): boolean {
  return ['°', 'deg', 'degrees'].includes(unit);
}

// Lenses end below f/64, so a whole number from here on counts hundredths: 220 is f/2.2 (common practice, no source).
const leastHundredths = 80;

/** An f-number, which some recorders write in hundredths. */
function fNumberOf(value: TelemetryValue): ValueOrReason {
  if (value.unit !== '') return `has the unit ${value.unit}`;
  return isWhole(value) && value.number >= leastHundredths ? value.number / 100 : value.number;
}

// A whole number from here on counts tenths: 240 is 24.0 mm. Who writes millimetres of a long lens writes them with a
// point or a unit: 162.00 (common practice, no source).
const leastTenths = 100;

/** A focal length in millimetres, which some recorders write in tenths of one. */
function focalLengthMmOf(value: TelemetryValue): ValueOrReason {
  if (value.unit === 'mm') return value.number;
  if (value.unit !== '') return `has the unit ${value.unit}`;
  return isWhole(value) && value.number >= leastTenths ? value.number / 10 : value.number;
}

function isWhole({ written, ratio }: TelemetryValue): boolean {
  return !ratio && written !== undefined && /^\d+$/.test(written);
}

/** Signed degrees where a hemisphere letter may stand in place of the sign. */
export function degreesOf(value: TelemetryValue, positive: string, negative: string): ValueOrReason {
  if (value.ratio) return 'is a ratio, not degrees';
  if (value.unit === positive) return Math.abs(value.number);
  if (value.unit === negative) return -Math.abs(value.number);
  if (['', '°', 'deg', 'degrees'].includes(value.unit)) return value.number;
  return `is in ${value.unit}, not in degrees ${positive.toUpperCase()} or ${negative.toUpperCase()}`;
}

/** A direction as degrees clockwise from north; a turn to the left of north is written as a negative one. */
function directionDegreesOf(value: TelemetryValue): ValueOrReason {
  if (value.unit !== '' && !isAngle(value)) return `has the unit ${value.unit}`;
  return value.number < 0 ? value.number + 360 : value.number;
}
