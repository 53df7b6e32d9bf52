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
  timeBasis: z.enum(['recorded', 'named-zone', 'computer-zone', 'longitude-zone']).optional(),
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
  // 0 the horizon, -90 straight down.
  cameraPitchDegrees: number,
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
  /** A clock's zone was guessed from the longitude. */
  readonly isClockGuessed: boolean;
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

/** What a value can be; one beyond it is a fault of the file, and is left out. Light reaches far: filters come on top. */
const possible: Readonly<Partial<Record<keyof LoggedRecording, readonly [least: number, most: number]>>> = {
  // The years 1970 to 2200.
  atMs: [0, 7.26e12],
  framesPerSecond: [0.001, 100_000],
  exposureSeconds: [1e-7, 1e5],
  fNumber: [0.3, 1000],
  iso: [0.1, 1e8],
  sensorEv100: [-40, 30],
  offsetStops: [-20, 20],
  shutterOffsetStops: [-30, 30],
  clippedFraction: [0, 1],
  neededStops: [-40, 40],
  additionalStops: [-40, 40],
  latitude: [-90, 90],
  longitude: [-180, 180],
  headingDegrees: [-360, 360],
  cameraPitchDegrees: [-180, 180],
  sunElevationDegrees: [-90, 90],
  sunAzimuthDegrees: [-360, 360],
};

/** @returns the recording without what cannot be, and how many values that were */
function possibleOnly(recording: LoggedRecording): readonly [LoggedRecording, leftOut: number] {
  const names = (Object.keys(possible) as (keyof typeof possible)[]).filter((name) => {
    const value = recording[name];
    const [least, most] = possible[name]!;
    return typeof value === 'number' && !(value >= least && value <= most);
  });
  const stops = recording.fitted?.labelStops ?? 0;
  const isFilter = stops >= 0 && stops <= strongestStops;
  const isTime = recording.recordedAt === undefined || !Number.isNaN(Date.parse(recording.recordedAt));
  if (names.length === 0 && isFilter && isTime) return [recording, 0];
  const gone = new Set<string>([
    ...names,
    ...(isFilter ? [] : ['fitted']),
    ...(isTime ? [] : ['recordedAt']),
  ]);
  const remaining = Object.fromEntries(Object.entries(recording).filter(([name]) => !gone.has(name)));
  return [remaining as LoggedRecording, gone.size];
}

/** The strongest that is sold, and then some; common practice, no source. */
const strongestStops = 30;

interface Exported {
  readonly flights: readonly LoggedFlight[];
  /** Values that no recording can have. */
  readonly leftOut: number;
}

/** Reads an export; what is not one is refused with the place, and a value that cannot be is left out. */
export function parseExported(json: string, file: string): Exported {
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
  if (result.success) {
    let leftOut = 0;
    const flights = result.data.flights.map((one) => ({
      ...one,
      recordings: one.recordings.map((recording) => {
        const [remaining, gone] = possibleOnly(recording);
        leftOut += gone;
        return remaining;
      }),
    }));
    return { flights, leftOut };
  }
  const [issue] = result.error.issues;
  throw new HalfturnError(
    `"${name}" is no export of a logbook: ${issue?.path.map(String).join('.') ?? ''} ${issue?.message ?? ''}.`,
    'Give what "halfturn logbook export" wrote, in JSON.',
  );
}
