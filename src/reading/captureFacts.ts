import { exposureSecondsFromTimeValue, fNumberFromApertureValue } from '../domain/exposure.ts';
import type { CompositeKind, FactName, Refusal } from '../domain/recording.ts';
import type { CaptureFacts, CaptureValues } from './captureValues.ts';
import { exposureWords } from './exposureWords.ts';
import type { BoundedFact } from './plausible.ts';
import { positionFacts } from './position.ts';
import { judgedNumber, type RecordedNumber } from './recordedNumber.ts';
import { recordedIso } from './sensitivity.ts';
import { sighting, type Carrier, type FactSighting } from './sighting.ts';

/** Turns what a still recorded into facts. Pure; nothing that cannot be true becomes a fact. */
export function captureFacts(values: CaptureValues, carrier: Carrier): CaptureFacts {
  const parts = [
    exposureFacts(values, carrier),
    firstPlausible(
      'fNumber',
      [values.number('FNumber'), fromAperture(besideZero(values, 'FNumber', 'ApertureValue'))],
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
  ];
  return {
    sightings: parts.flatMap((part) => part.sightings),
    refusals: parts.flatMap((part) => part.refusals),
  };
}

/** The first candidate that can be true; those before it that cannot are refused. */
function firstPlausible(
  fact: BoundedFact & FactName,
  candidates: readonly (RecordedNumber | undefined)[],
  carrier: Carrier,
): CaptureFacts {
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

function exposureFacts(values: CaptureValues, carrier: Carrier): CaptureFacts {
  const isComposite = compositeFacts(values, carrier).length > 0;
  const candidates = [
    values.number('ExposureTime'),
    fromShutterSpeed(besideZero(values, 'ExposureTime', 'ShutterSpeedValue')),
  ];
  const marked = candidates.map((candidate) =>
    candidate && isComposite
      ? { ...candidate, source: `${candidate.source} (put together from several exposures)` }
      : candidate,
  );
  return firstPlausible('exposureSeconds', marked, carrier);
}

/** Its APEX value of 0 means f/1 or one second, but not beside a number of 0: then neither was known. */
function besideZero(
  values: CaptureValues,
  name: 'FNumber' | 'ExposureTime',
  apexName: 'ApertureValue' | 'ShutterSpeedValue',
): RecordedNumber | undefined {
  const apex = values.number(apexName);
  return apex?.value === 0 && values.number(name)?.value === 0 ? undefined : apex;
}

function fromShutterSpeed(recorded: RecordedNumber | undefined): RecordedNumber | undefined {
  return recorded && { ...recorded, value: exposureSecondsFromTimeValue(recorded.value) };
}

function fromAperture(recorded: RecordedNumber | undefined): RecordedNumber | undefined {
  return recorded && { ...recorded, value: fNumberFromApertureValue(recorded.value) };
}

function isoFacts(values: CaptureValues, carrier: Carrier): CaptureFacts {
  const { recorded, refusal } = recordedIso(values);
  const facts = firstPlausible('iso', [recorded], carrier);
  return refusal ? { sightings: facts.sightings, refusals: [...facts.refusals, refusal] } : facts;
}

function timeFacts({ time }: CaptureValues, carrier: Carrier): CaptureFacts {
  if (!time?.found) return { sightings: [], refusals: [] };
  const { found, raw, source } = time;
  if ('reason' in found) {
    return { sightings: [], refusals: [{ what: 'recordedAt', raw, source, reason: found.reason }] };
  }
  return { sightings: [sighting('recordedAt', found.recordedAt, carrier, source)], refusals: [] };
}

function wordFacts(values: CaptureValues, carrier: Carrier): FactSighting[] {
  const program = worded(values.number('ExposureProgram'), exposureWords.exposureProgram);
  const mode = worded(values.number('ExposureMode'), exposureWords.exposureMode);
  const metering = worded(values.number('MeteringMode'), exposureWords.meteringMode);
  const balance = worded(values.number('WhiteBalance'), exposureWords.whiteBalance);
  const chosen = program ?? mode;
  return [
    ...(chosen ? [sighting('exposureProgram', chosen.word, carrier, chosen.source)] : []),
    ...(metering ? [sighting('meteringMode', metering.word, carrier, metering.source)] : []),
    ...(balance ? [sighting('whiteBalance', balance.word, carrier, balance.source)] : []),
  ];
}

function worded(
  recorded: RecordedNumber | undefined,
  words: Readonly<Record<number, string>>,
): { readonly word: string; readonly source: string } | undefined {
  const word = recorded && words[recorded.value];
  return recorded && word !== undefined ? { word, source: recorded.source } : undefined;
}

function cameraFacts({ make, model, cameraSource }: CaptureValues, carrier: Carrier): FactSighting[] {
  // Many makers open the model with their own name.
  const name =
    make && model && !model.toLowerCase().startsWith(make.toLowerCase()) ? `${make} ${model}` : model;
  const camera = name ?? make;
  return camera ? [sighting('camera', camera, carrier, cameraSource)] : [];
}
