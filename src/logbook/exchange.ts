import { z } from 'zod';
import { displayText } from '../domain/displayText.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import type { LoggedFlight } from '../domain/logbook.ts';

const number = z.number().optional();
const text = z.string().optional();

const recording = z.object({
  fingerprint: z.string().min(1),
  path: z.string(),
  kind: z.enum(['clip', 'still']),
  recordedAt: text,
  atMs: number,
  timeBasis: z.enum(['recorded', 'computer-zone', 'longitude-zone']).optional(),
  camera: text,
  framesPerSecond: number,
  exposureSeconds: number,
  fNumber: number,
  iso: number,
  sensorEv100: number,
  offsetStops: number,
  offsetBasis: z.enum(['metered', 'picture']).optional(),
  inWindow: z.boolean().optional(),
  shutterVerdict: z.enum(['on', 'short', 'long', 'unknown']).optional(),
  shutterOffsetStops: number,
  clippedFraction: number,
  fitted: z.object({ label: z.string(), labelStops: z.number() }).optional(),
  neededStops: number,
  additionalStops: number,
  pickLabel: text,
  latitude: number,
  longitude: number,
  headingDegrees: number,
  sunElevationDegrees: number,
  sunAzimuthDegrees: number,
  detail: z.looseObject({
    findings: z
      .array(z.looseObject({ kind: z.string(), weight: z.string() }))
      .readonly()
      .optional(),
  }),
});

const flight = z.object({
  enteredAt: z.string(),
  dump: z.string(),
  startedAt: text,
  endedAt: text,
  place: text,
  latitude: number,
  longitude: number,
  sky: z.enum(['clear', 'haze', 'cloud', 'overcast']).optional(),
  notes: text,
  recordings: z.array(recording).readonly(),
});

const exported = z.object({
  format: z.literal('halfturn-logbook'),
  formatVersion: z.literal(1),
  flights: z.array(flight).readonly(),
});

/** An export, flight by flight, so that a large logbook is never held as one text. */
export function* exportedText(flights: Iterable<LoggedFlight>): Generator<string> {
  yield '{\n"format": "halfturn-logbook",\n"formatVersion": 1,\n"flights": [';
  let before = '\n';
  for (const one of flights) {
    yield before + JSON.stringify(one);
    before = ',\n';
  }
  yield '\n]\n}\n';
}

/** Reads an export; what is not one is refused with the place. */
export function parseExported(json: string, file: string): readonly LoggedFlight[] {
  const name = displayText(file);
  let value: unknown;
  try {
    value = JSON.parse(json);
  } catch (error) {
    throw new HalfturnError(
      `"${name}" is no JSON: ${displayText((error as Error).message)}.`,
      'Give what "halfturn logbook export" wrote.',
    );
  }
  const result = exported.safeParse(value);
  if (result.success) return result.data.flights;
  const [issue] = result.error.issues;
  throw new HalfturnError(
    `"${name}" is no export of a logbook: ${issue?.path.map(String).join('.') ?? ''} ${issue?.message ?? ''}.`,
    'Give what "halfturn logbook export" wrote, in JSON.',
  );
}
