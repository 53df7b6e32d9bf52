import { exposureSecondsFromTimeValue, fNumberFromApertureValue } from '../domain/exposure.ts';
import type { CompositeKind, FactName, Refusal } from '../domain/recording.ts';
import { positionFacts, type RecordedPosition } from './position.ts';
import { judgedNumber, type BoundedFact, type RecordedNumber } from './recordedNumber.ts';
import type { RecordedTime } from './recordedTime.ts';
import {
  combinedReadings,
  emptyReading,
  sighting,
  type Carrier,
  type FactSighting,
  type Reading,
} from './sighting.ts';

/** Names of the Exif standard, which XMP shares, in the order in which a person would look for them. */
export type CaptureNumberName =
  | 'ExposureTime'
  | 'ShutterSpeedValue'
  | 'FNumber'
  | 'ApertureValue'
  | 'PhotographicSensitivity'
  | 'SensitivityType'
  | 'StandardOutputSensitivity'
  | 'RecommendedExposureIndex'
  | 'ISOSpeed'
  | 'ExposureBiasValue'
  | 'FocalLength'
  | 'ExposureProgram'
  | 'ExposureMode'
  | 'MeteringMode'
  | 'WhiteBalance'
  | 'CompositeImage'
  | 'GPSAltitude'
  | 'GPSAltitudeRef'
  | 'GPSImgDirection';

/** What a still recorded, in the standard's own terms, whichever carrier it came from. */
export interface CaptureValues extends RecordedPosition {
  readonly number: (name: CaptureNumberName) => RecordedNumber | undefined;
  readonly time: { readonly parsed: RecordedTime; readonly raw: string; readonly source: string } | undefined;
  readonly make: string | undefined;
  readonly model: string | undefined;
  /** Where make and model were read. */
  readonly cameraSource: string;
}

/** Turns what a still recorded into facts. Pure; nothing that cannot be true becomes a fact. */
export function captureFacts(values: CaptureValues, carrier: Carrier): Reading {
  return combinedReadings([
    exposureFacts(values, carrier),
    firstPlausible(
      'fNumber',
      [values.number('FNumber'), fromApex(values, 'FNumber', 'ApertureValue', fNumberFromApertureValue)],
      carrier,
    ),
    isoFacts(values, carrier),
    firstPlausible('exposureBiasStops', [values.number('ExposureBiasValue')], carrier),
    firstPlausible('focalLengthMm', [values.number('FocalLength')], carrier),
    positionFacts(values, carrier),
    timeFacts(values, carrier),
    {
      sightings: [
        ...wordFacts(values, carrier),
        ...cameraFacts(values, carrier),
        ...compositeFacts(values, carrier),
      ],
      refusals: [],
    },
  ]);
}

/** The first candidate that can be true; those before it that cannot are refused. */
function firstPlausible(
  fact: BoundedFact & FactName,
  candidates: readonly (RecordedNumber | undefined)[],
  carrier: Carrier,
): Reading {
  const refusals: Refusal[] = [];
  for (const candidate of candidates) {
    if (!candidate) continue;
    const { value, refusal } = judgedNumber(fact, candidate);
    if (value !== undefined)
      return { sightings: [sighting(fact, value, carrier, candidate.source)], refusals };
    if (refusal) refusals.push(refusal);
  }
  return { sightings: [], refusals };
}

// CompositeImage 2 and 3: made from several exposures (Exif 2.32). The recorded time then stands for one of them or for
// their sum, which the source says for the person who reads it.
function compositeFacts(values: CaptureValues, carrier: Carrier): FactSighting[] {
  const recorded = values.number('CompositeImage');
  const kind = recorded && compositeKinds.get(recorded.value);
  return recorded && kind ? [sighting('composite', kind, carrier, recorded.source)] : [];
}

const compositeKinds: ReadonlyMap<number, CompositeKind> = new Map([
  [2, 'general'],
  [3, 'while-shooting'],
]);

function exposureFacts(values: CaptureValues, carrier: Carrier): Reading {
  const isComposite = compositeFacts(values, carrier).length > 0;
  const candidates = [
    values.number('ExposureTime'),
    fromApex(values, 'ExposureTime', 'ShutterSpeedValue', exposureSecondsFromTimeValue),
  ];
  const marked = candidates.map((candidate) =>
    candidate && isComposite
      ? { ...candidate, source: `${candidate.source} (put together from several exposures)` }
      : candidate,
  );
  return firstPlausible('exposureSeconds', marked, carrier);
}

/**
 * What an APEX value stands for. One of 0 means f/1 or one second, but not beside a number of 0: then neither was known.
 */
function fromApex(
  values: CaptureValues,
  name: 'FNumber' | 'ExposureTime',
  apexName: 'ApertureValue' | 'ShutterSpeedValue',
  numberOf: (apex: number) => number,
): RecordedNumber | undefined {
  const apex = values.number(apexName);
  if (apex === undefined || (apex.value === 0 && values.number(name)?.value === 0)) return undefined;
  return { ...apex, value: numberOf(apex.value) };
}

// PhotographicSensitivity is a 16-bit number; 65535 stands for "65535 or more" (CIPA DC-008, 4.6.5, tag 34855).
const overflow = 65_535;

/** Which tags hold the full value for each SensitivityType (CIPA DC-008, tag 34864). */
const namesByType: Readonly<Record<number, readonly CaptureNumberName[]>> = {
  1: ['StandardOutputSensitivity'],
  2: ['RecommendedExposureIndex'],
  3: ['ISOSpeed'],
  4: ['StandardOutputSensitivity', 'RecommendedExposureIndex'],
  5: ['StandardOutputSensitivity', 'ISOSpeed'],
  6: ['RecommendedExposureIndex', 'ISOSpeed'],
};
const anyType = ['StandardOutputSensitivity', 'RecommendedExposureIndex', 'ISOSpeed'] as const;

/** The sensitivity, read from the wider tags where the 16-bit one is absent or says "65535 or more". */
function isoFacts(values: CaptureValues, carrier: Carrier): Reading {
  const short = values.number('PhotographicSensitivity');
  if (short && short.value !== overflow && short.value !== 0) return firstPlausible('iso', [short], carrier);
  const type = values.number('SensitivityType')?.value ?? 0;
  const wide = (namesByType[type] ?? anyType).map(values.number).find((number) => number && number.value > 0);
  if (wide) return firstPlausible('iso', [wide], carrier);
  if (short?.value !== overflow) return emptyReading;
  const reason = 'it stands for "65535 or more", and no wider value is recorded';
  return { sightings: [], refusals: [{ what: 'iso', raw: short.raw, source: short.source, reason }] };
}

function timeFacts({ time }: CaptureValues, carrier: Carrier): Reading {
  if (!time?.parsed) return emptyReading;
  const { parsed, raw, source } = time;
  if ('reason' in parsed) {
    return { sightings: [], refusals: [{ what: 'recordedAt', raw, source, reason: parsed.reason }] };
  }
  return { sightings: [sighting('recordedAt', parsed.recordedAt, carrier, source)], refusals: [] };
}

function wordFacts(values: CaptureValues, carrier: Carrier): FactSighting[] {
  const worded = (name: CaptureNumberName, words: Readonly<Record<number, string>>) => {
    const recorded = values.number(name);
    const word = recorded && words[recorded.value];
    return word === undefined ? undefined : { word, source: recorded!.source };
  };
  const program =
    worded('ExposureProgram', exposureWords.exposureProgram) ??
    worded('ExposureMode', exposureWords.exposureMode);
  const facts = [
    ['exposureProgram', program],
    ['meteringMode', worded('MeteringMode', exposureWords.meteringMode)],
    ['whiteBalance', worded('WhiteBalance', exposureWords.whiteBalance)],
  ] as const;
  return facts.flatMap(([fact, recorded]) =>
    recorded ? [sighting(fact, recorded.word, carrier, recorded.source)] : [],
  );
}

function cameraFacts({ make, model, cameraSource }: CaptureValues, carrier: Carrier): FactSighting[] {
  // Many makers open the model with their own name.
  const name =
    make && model && !model.toLowerCase().startsWith(make.toLowerCase()) ? `${make} ${model}` : model;
  const camera = name ?? make;
  return camera ? [sighting('camera', camera, carrier, cameraSource)] : [];
}

// The standard's words for its numbers (CIPA DC-008, Exif 2.32; from memory, checked against a general-purpose reader).

const exposurePrograms: Readonly<Record<number, string>> = {
  1: 'manual',
  2: 'normal program',
  3: 'aperture priority',
  4: 'shutter priority',
  5: 'creative program',
  6: 'action program',
  7: 'portrait mode',
  8: 'landscape mode',
};

const exposureModes: Readonly<Record<number, string>> = {
  0: 'auto exposure',
  1: 'manual exposure',
  2: 'auto bracket',
};

const meteringModes: Readonly<Record<number, string>> = {
  1: 'average',
  2: 'centre-weighted average',
  3: 'spot',
  4: 'multi-spot',
  5: 'pattern',
  6: 'partial',
  255: 'other',
};

const whiteBalances: Readonly<Record<number, string>> = {
  0: 'auto white balance',
  1: 'manual white balance',
};

export const exposureWords = {
  exposureProgram: exposurePrograms,
  exposureMode: exposureModes,
  meteringMode: meteringModes,
  whiteBalance: whiteBalances,
} as const;

// A camera names its firmware where a program names itself: a version and nothing else ("10.3.1", "V01.02.0300"), or one
// whose parts are padded with zeros behind whatever the camera is called ("X2D V01.02"). Programs have a name that is no
// version, and do not pad theirs.
const versionAlone = /^(?:firmware|fw|version|ver|v)?[ .:]*\d{1,4}(?:\.\d{1,6}){1,4}[a-z]?$/i;
const paddedVersion = /(?:^|[ _-])v?(?:0\d\.\d{2,4}|\d{1,2}\.0\d{1,3})(?:\.\d{2,6})*$/i;

/**
 * Whether the name of a program is only that of a camera's own software.
 * @example isFirmwareVersion('V01.02.0300') // true
 */
export function isFirmwareVersion(text: string): boolean {
  const name = text.trim();
  return name.length <= 80 && (versionAlone.test(name) || paddedVersion.test(name));
}
