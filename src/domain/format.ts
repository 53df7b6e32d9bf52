/** The sign that stands before amounts below zero in everything a person reads; JSON and CSV numbers use "-". */
const minus = '\u2212';

/**
 * Exposure time as cameras mark it: a fraction below a quarter of a second, seconds from there on.
 * @example formatShutter(1 / 47.95) // '1/48'
 */
export function formatShutter(exposureSeconds: number): string {
  if (exposureSeconds < 0.25) return `1/${Math.round(1 / exposureSeconds)}`;
  return `${plain(exposureSeconds, exposureSeconds < 10 ? 2 : 3)} s`;
}

/**
 * Exposure time inside a sentence, always with its unit.
 * @example formatExposure(1 / 50) // '1/50 s'
 */
export function formatExposure(exposureSeconds: number): string {
  const shutter = formatShutter(exposureSeconds);
  return shutter.endsWith(' s') ? shutter : `${shutter} s`;
}

/**
 * A signed light ratio in stops, one decimal.
 * @example formatStops(-1.26) // '−1.3'
 */
export function formatStops(stops: number): string {
  const size = Math.abs(stops).toFixed(1);
  if (size === '0.0') return size;
  return `${stops < 0 ? minus : '+'}${size}`;
}

/**
 * The size of a light ratio in words; the sentence around it says which way.
 * @example stopsInWords(-1.26) // '1.3 stops'
 */
export function stopsInWords(stops: number): string {
  const size = Number(Math.abs(stops).toFixed(1));
  return size === 1 ? '1 stop' : `${size} stops`;
}

/**
 * Shutter angle: one decimal, none where it is whole.
 * @example formatAngle(172.8) // '172.8°'
 */
export function formatAngle(angleDegrees: number): string {
  return `${angleDegrees < 0.1 ? plain(angleDegrees, 1) : Number(angleDegrees.toFixed(1))}°`;
}

/**
 * A shutter angle that motion blur told, in whole degrees: it is not known closer.
 * @example formatBlurAngle(90.3) // '90°'
 */
export function formatBlurAngle(angleDegrees: number): string {
  return formatAngle(angleDegrees < 1 ? angleDegrees : Math.round(angleDegrees));
}

/**
 * The range that such an angle lies in, or what it is at most.
 * @example formatBlurRange({ lowDegrees: 82, highDegrees: 99.5 }) // '82° to 100°'
 */
export function formatBlurRange({
  lowDegrees,
  highDegrees,
}: {
  readonly lowDegrees?: number;
  readonly highDegrees: number;
}): string {
  const high = formatBlurAngle(highDegrees);
  return lowDegrees === undefined ? `at most ${high}` : `${formatBlurAngle(lowDegrees)} to ${high}`;
}

/**
 * An absolute exposure, without the letters EV, which stand in the sentence around it.
 * @example formatEv(-5.24) // '−5.2'
 */
export function formatEv(ev100: number): string {
  return ev100.toFixed(1).replace('-', minus);
}

/**
 * An f-number, one decimal at most.
 * @example formatAperture(4) // 'f/4'
 */
export function formatAperture(fNumber: number): string {
  return `f/${Number(fNumber.toFixed(1))}`;
}

/**
 * A share of a picture, [0, 1], as percent with two digits that count; what is not nothing never reads as nothing, nor what
 * is not all as all.
 * @example formatPercent(0.0312) // '3.1%'
 */
export function formatPercent(fraction: number): string {
  const percent = fraction * 100;
  if (percent > 0 && percent < 0.01) return '<0.01%';
  if (percent < 1) return `${plain(percent, percent < 0.1 ? 1 : 2)}%`;
  if (percent < 9.95) return `${plain(percent, 2)}%`;
  if (percent < 100 && percent >= 99.5) return '99%';
  return `${Math.round(percent)}%`;
}

/**
 * Frames per second, three decimals at most.
 * @example formatRate(24000 / 1001) // '23.976'
 */
export function formatRate(framesPerSecond: number): string {
  return String(Number(framesPerSecond.toFixed(3)));
}

/**
 * A length of time: tenths of a second below a minute (one digit that counts below a tenth), minutes and seconds from there on.
 * @example formatDuration(125.2) // '2:05'
 */
export function formatDuration(seconds: number): string {
  if (seconds >= 0.0005 && seconds < 0.095) return `${plain(seconds, 1)} s`;
  if (seconds < 59.95) return `${Number(seconds.toFixed(1))} s`;
  const total = Math.round(seconds);
  const twoDigits = (amount: number) => String(amount).padStart(2, '0');
  const minutes = Math.floor(total / 60);
  if (minutes < 60) return `${minutes}:${twoDigits(total % 60)}`;
  return `${Math.floor(minutes / 60)}:${twoDigits(minutes % 60)}:${twoDigits(total % 60)}`;
}

/**
 * A stretch of a clip, counted from its first frame.
 * @example formatSpan({ startSeconds: 4, endSeconds: 6.52 }) // '4 s to 6.5 s'
 */
export function formatSpan(span: { readonly startSeconds: number; readonly endSeconds: number }): string {
  const [start, end] = [formatDuration(span.startSeconds), formatDuration(span.endSeconds)];
  return start === end ? start : `${start} to ${end}`;
}

/**
 * A height, one decimal at most.
 * @example formatMetres(-12.04) // '−12 m'
 */
export function formatMetres(metres: number): string {
  return `${Number(metres.toFixed(1))} m`.replace('-', minus);
}

/**
 * A file size in decimal units.
 * @example formatBytes(104857600) // '105 MB'
 */
export function formatBytes(bytes: number): string {
  const units = ['B', 'kB', 'MB', 'GB', 'TB'];
  const step = bytes < 1000 ? 0 : Math.min(Math.floor(Math.log10(bytes) / 3 + 1e-9), units.length - 1);
  const amount = Number((bytes / 1000 ** step).toPrecision(3));
  return amount === 1000 && step < units.length - 1 ? `1 ${units[step + 1]}` : `${amount} ${units[step]}`;
}

/**
 * How many of something.
 * @example counted(2, 'clip') // '2 clips'
 */
export function counted(count: number, singular: string, plural = `${singular}s`): string {
  return `${count} ${count === 1 ? singular : plural}`;
}

/**
 * The beginning of a sentence.
 * @example capital('shutter too short') // 'Shutter too short'
 */
export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function plain(amount: number, digits: number): string {
  return String(Number(amount.toPrecision(digits)));
}
