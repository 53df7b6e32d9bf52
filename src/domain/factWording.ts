import type { Fact, FactName, FactValues, ScanName } from './recording.ts';
import {
  formatAperture,
  formatDuration,
  formatExposure,
  formatMetres,
  formatPercent,
  formatRate,
  formatStops,
} from './format.ts';

/** Rates are shown as numbers. */
type ShownFactName =
  Exclude<FactName, 'frameRate' | 'playbackFrameRate'> | 'framesPerSecond' | 'playbackFramesPerSecond';

interface FactWording<T> {
  readonly label: string;
  readonly notation: (value: T) => string;
}

type ShownValue<N extends ShownFactName> = N extends FactName ? FactValues[N] : number;

type ShowableFacts = { readonly [N in ShownFactName]?: Fact<ShownValue<N>> };

const asWritten = (value: string) => value;
const millimetres = (value: number) => `${Number(value.toFixed(1))} mm`;
const plainNumber = (value: number) => String(Number(value.toPrecision(6)));
/** With the letter of the hemisphere and not a sign, as maps take it (ISO 6709, the form for people). */
const coordinate = (positive: string, negative: string) => (degrees: number) =>
  `${Number(Math.abs(degrees).toFixed(5))}° ${degrees < 0 ? negative : positive}`;

const compositeWords: Readonly<Record<FactValues['composite'], string>> = {
  general: 'put together from several exposures',
  'while-shooting': 'put together from several exposures while shooting',
};

const scanWords: Readonly<Record<ScanName, string>> = {
  fields: 'in two fields, of one moment or of two',
  interlaced: 'interlaced: two fields of two moments',
  'progressive-in-fields': 'two fields of one moment',
};

/** Every fact's name and notation for people, in the order in which they are shown. */
const wordings: { readonly [N in ShownFactName]-?: FactWording<ShownValue<N>> } = {
  recordedAt: { label: 'recorded at', notation: asWritten },
  startTimecode: { label: 'start timecode', notation: asWritten },
  durationSeconds: { label: 'duration', notation: formatDuration },
  frameCount: { label: 'frames', notation: String },
  framesPerSecond: { label: 'frame rate', notation: (rate) => `${formatRate(rate)} fps` },
  playbackFramesPerSecond: { label: 'playback rate', notation: (rate) => `${formatRate(rate)} fps` },
  scan: { label: 'fields', notation: (scan) => scanWords[scan] },
  frameTiming: { label: 'frame timing', notation: asWritten },
  irregularFrameFraction: { label: 'irregular frames', notation: formatPercent },
  exposureSeconds: { label: 'exposure time', notation: formatExposure },
  fNumber: { label: 'aperture', notation: formatAperture },
  iso: { label: 'ISO', notation: plainNumber },
  exposureBiasStops: { label: 'exposure compensation', notation: (stops) => `${formatStops(stops)} stops` },
  meteredOffsetStops: { label: "camera's meter", notation: (stops) => `${formatStops(stops)} stops` },
  evAsReadStops: {
    label: 'EV as recorded',
    notation: (stops) => `${formatStops(stops)} stops (dialled in or metered, it does not say)`,
  },
  exposureProgram: { label: 'exposure program', notation: asWritten },
  meteringMode: { label: 'metering', notation: asWritten },
  whiteBalance: { label: 'white balance', notation: asWritten },
  composite: { label: 'composite', notation: (kind) => compositeWords[kind] },
  recordedFilterStops: { label: 'built-in filter', notation: (stops) => `${Number(stops.toFixed(1))} stops` },
  focalLengthMm: { label: 'focal length', notation: millimetres },
  equivalentFocalLengthMm: { label: 'focal length (35 mm)', notation: millimetres },
  camera: { label: 'camera', notation: asWritten },
  width: { label: 'width', notation: (value) => `${value} px` },
  height: { label: 'height', notation: (value) => `${value} px` },
  rotationDegrees: { label: 'rotation', notation: (value) => `${value}°` },
  codec: { label: 'codec', notation: asWritten },
  bitDepth: { label: 'bit depth', notation: (value) => `${value} bit` },
  transfer: { label: 'transfer curve', notation: asWritten },
  range: { label: 'signal range', notation: asWritten },
  latitude: { label: 'latitude', notation: coordinate('N', 'S') },
  longitude: { label: 'longitude', notation: coordinate('E', 'W') },
  altitudeMetres: { label: 'altitude', notation: formatMetres },
  heightOverStartMetres: { label: 'height over the start', notation: formatMetres },
  groundSpeedMetresPerSecond: {
    label: 'speed over ground',
    notation: (value) => `${Number(value.toFixed(1))} m/s`,
  },
  headingDegrees: { label: 'heading', notation: (value) => `${Math.round(value) % 360}°` },
  cameraPitchDegrees: {
    label: "camera's pitch",
    notation: (value) => `${Math.round(value)}°`.replace('-', '−'),
  },
};

const factOrder = Object.keys(wordings) as readonly ShownFactName[];

/**
 * What a fact is called in a sentence.
 * @example factLabel('exposureSeconds') // 'exposure time'
 */
export function factLabel(name: FactName | ShownFactName): string {
  if (name === 'frameRate') return wordings.framesPerSecond.label;
  if (name === 'playbackFrameRate') return wordings.playbackFramesPerSecond.label;
  return wordings[name].label;
}

/**
 * Whether this is a fact that `factLabel` has a name for.
 * @example isFactName('frameRate') // true
 */
export function isFactName(name: string): name is FactName | ShownFactName {
  return name === 'frameRate' || name === 'playbackFrameRate' || name in wordings;
}

/** One fact ready to be shown: each value in people's notation, with where it was read. */
interface ShownFact {
  readonly name: ShownFactName;
  readonly label: string;
  readonly value: string;
  readonly source: string;
  readonly others: readonly { readonly value: string; readonly source: string }[];
}

/**
 * The facts that are known, in order, in people's notation.
 * @example shownFacts({ iso: { value: 100, source: 'EXIF' } }) // [{ name: 'iso', label: 'ISO', value: '100', source: 'EXIF', others: [] }]
 */
export function shownFacts(facts: ShowableFacts): readonly ShownFact[] {
  return factOrder.flatMap((name) => shownFact(facts, name));
}

function shownFact(facts: ShowableFacts, name: ShownFactName): readonly ShownFact[] {
  const fact: Fact<unknown> | undefined = facts[name];
  if (fact === undefined) return [];
  const { label, notation } = wordings[name] as FactWording<unknown>;
  const others = (fact.others ?? []).map((other) => ({ value: notation(other.value), source: other.source }));
  return [{ name, label, value: notation(fact.value), source: fact.source, others }];
}
