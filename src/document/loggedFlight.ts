import { z } from 'zod';
import { skies } from '../domain/daylight.ts';
import { displayText } from '../domain/displayText.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import type { Infer } from './reportedRecording.ts';

const number = z.number().optional();
const text = z.string().optional();

/** What the logbook keeps of one recording. Absent means unknown. */
export const loggedRecordingSchema = z.object({
  // The same for copies of one recording, wherever they lie.
  fingerprint: z.string().min(1),
  path: z.string(),
  kind: z.enum(['clip', 'still']),
  recordedAt: text,
  // Milliseconds since 1970 in UTC.
  atMs: number,
  timeBasis: z.enum(['recorded', 'computer-zone', 'longitude-zone']).optional(),
  camera: text,
  framesPerSecond: number,
  exposureSeconds: number,
  fNumber: number,
  iso: number,
  // Light that came through the filter: EV at ISO 100 of the settings plus what the exposure was over.
  sensorEv100: number,
  // Exposure against what was wanted, + = over.
  offsetStops: number,
  offsetBasis: z.enum(['metered', 'picture']).optional(),
  inWindow: z.boolean().optional(),
  shutterVerdict: z.enum(['on', 'short', 'long', 'unknown']).optional(),
  // Against the target, - = shorter.
  shutterOffsetStops: number,
  // Of the frame that clips most, [0, 1].
  clippedFraction: number,
  // As it was known when the flight was entered: strength by its label, whatever was learned since.
  fitted: z.object({ label: z.string(), labelStops: z.number() }).optional(),
  // Total ND that would have been right.
  neededStops: number,
  // Light still to be taken away against what was fitted, - = too much was taken.
  additionalStops: number,
  // What the audit would have carried; `none` is a choice as well.
  pickLabel: text,
  latitude: number,
  longitude: number,
  headingDegrees: number,
  sunElevationDegrees: number,
  sunAzimuthDegrees: number,
  // Facts, measures and findings as the audit reported them: entering looks at the findings, learning at none of it.
  detail: z.looseObject({
    findings: z.array(z.looseObject({ kind: z.string(), weight: z.string() })).optional(),
  }),
});

const flight = z.object({
  enteredAt: z.string(),
  // As it was given.
  dump: z.string(),
  startedAt: text,
  endedAt: text,
  place: text,
  latitude: number,
  longitude: number,
  sky: z.enum(skies).optional(),
  // The flight notes as they were written.
  notes: text,
  recordings: z.array(loggedRecordingSchema),
});

/** What `logbook export` writes and `logbook import` reads. */
const logbookExportSchema = z.object({
  format: z.literal('halfturn-logbook'),
  formatVersion: z.literal(1),
  flights: z.array(flight),
});

export type LoggedRecording = Infer<typeof loggedRecordingSchema>;
export type LoggedFilter = NonNullable<LoggedRecording['fitted']>;
/** One flight with its recordings, as it goes into the logbook and out of it. */
export type LoggedFlight = Infer<typeof flight>;

export interface FlightSummary extends Omit<LoggedFlight, 'latitude' | 'longitude' | 'notes' | 'recordings'> {
  readonly id: number;
  readonly clips: number;
  readonly stills: number;
  /** Labels of the filters that were fitted, in the order of use. */
  readonly filters: readonly string[];
}

/** An export, flight by flight, so that a large logbook is never held as one text. */
export function* exportedText(flights: Iterable<LoggedFlight>): Generator<string> {
  yield '{\n"format": "halfturn-logbook",\n"formatVersion": 1,\n"flights": [';
  let before = '\n';
  for (const flight of flights) {
    yield before + JSON.stringify(flight);
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
  const result = logbookExportSchema.safeParse(value);
  if (result.success) return result.data.flights;
  const [issue] = result.error.issues;
  throw new HalfturnError(
    `"${name}" is no export of a logbook: ${issue?.path.map(String).join('.') ?? ''} ${issue?.message ?? ''}.`,
    'Give what "halfturn logbook export" wrote, in JSON.',
  );
}
