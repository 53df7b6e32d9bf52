/** A value of telemetry as it stands in the text: a number, or a ratio, with what stood round it. */
export interface TelemetryValue {
  readonly raw: string;
  readonly number: number;
  /** Set where a ratio such as 1/50 was written; `number` is then already divided. */
  readonly ratio: boolean;
  readonly signed: boolean;
  /** Lower case, without blanks: "s", "ms", "us", "°", "mm", "m", "ev", or a hemisphere letter. */
  readonly unit: string;
}

const decimal = String.raw`[+-]?(?:\d{1,12}(?:\.\d{0,20})?|\.\d{1,20})(?:e[+-]?\d{1,2}(?![\d.]))?`;
const unit = String.raw`(?:\s{0,2}(?:seconds|sec|s|ms|us|µs|μs|°|degrees|deg|mm|metres|meters|m|ev|stops|[nsew])(?![\p{L}\p{N}])|\s{0,2}°|")`;

/** A pattern with named groups for one value. */
export const valuePattern = `(?<lead>f\\s?/?\\s?|[nsew]\\s?)?(?<top>${decimal})(?:\\s?/\\s?(?<bottom>\\d{1,12}(?:\\.\\d{1,12})?))?(?<unit>${unit})?`;

/** Reads the groups of valuePattern. */
export function readValue(raw: string, groups: Readonly<Record<string, string | undefined>>): TelemetryValue {
  const top = groups['top'] ?? '';
  const bottom = groups['bottom'];
  const lead = (groups['lead'] ?? '').trim().toLowerCase();
  const hemisphere = /^[nsew]$/.test(lead) ? lead : '';
  return {
    raw,
    number: bottom === undefined ? Number(top) : Number(top) / Number(bottom),
    ratio: bottom !== undefined,
    signed: /^[+-]/.test(top),
    unit: (groups['unit'] ?? '').trim().toLowerCase().replace('"', 's').replace('μ', 'µ') || hemisphere,
  };
}

const secondsPerUnit: Readonly<Record<string, number>> = {
  s: 1,
  sec: 1,
  seconds: 1,
  ms: 1e-3,
  us: 1e-6,
  µs: 1e-6,
};

// A whole number under "shutter" is the bottom of a fraction (common practice, no source). Below this it could as
// well be seconds.
const smallestBareShutter = 8;

/** Exposure time in seconds, or why the value does not say one. */
export function exposureSecondsOf(
  value: TelemetryValue,
  under: 'shutter' | 'exposure-time',
): number | string {
  const scale = secondsPerUnit[value.unit];
  if (scale !== undefined) return value.number * scale;
  if (value.unit !== '') return `is in ${value.unit}, not in seconds`;
  if (value.signed) return 'has a sign, so it is no time';
  if (value.ratio || value.number <= 1) return value.number;
  if (under === 'shutter' && value.number >= smallestBareShutter) return 1 / value.number;
  return 'could mean seconds or a part of a second';
}

/** Signed degrees where a hemisphere letter may stand in place of the sign. */
export function degreesOf(value: TelemetryValue, positive: string, negative: string): number | string {
  if (value.ratio) return 'is a ratio, not degrees';
  if (value.unit === positive) return Math.abs(value.number);
  if (value.unit === negative) return -Math.abs(value.number);
  if (['', '°', 'deg', 'degrees'].includes(value.unit)) return value.number;
  return `is in ${value.unit}, not in degrees ${positive.toUpperCase()} or ${negative.toUpperCase()}`;
}
