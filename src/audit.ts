import { availableParallelism } from 'node:os';
import { adviseFilter } from './advising/advise.ts';
import { commonKit } from './advising/commonKit.ts';
import { recordedFilter } from './advising/fitted.ts';
import { adviseSeries } from './advising/series.ts';
import { HalfturnError } from './domain/halfturnError.ts';
import type { FittedFilter, KitFilter } from './domain/kit.ts';
import type { Limits } from './domain/limits.ts';
import type { Measurement } from './domain/measurement.ts';
import type { RecordingPictures } from './domain/pictures.ts';
import type { Note, Problem, Recording } from './domain/recording.ts';
import type { Finding } from './domain/finding.ts';
import type { AuditDocument, ReportedRecording, ReportedSequence } from './domain/report.ts';
import type { StillSequence } from './domain/sequence.ts';
import type { ExposureOffset } from './judging/check.ts';
import { exposureDrifts } from './judging/checks/exposureDrifts.ts';
import { exposureOffset } from './judging/exposure.ts';
import { judgeFlight } from './judging/flight/judgeFlight.ts';
import { highlightRoom } from './judging/highlightRoom.ts';
import { judge, mostSeriousFirst } from './judging/judge.ts';
import { defaultLimits } from './judging/limits.ts';
import { measuredUncertainty, withMeasuredExposure } from './judging/measuredExposure.ts';
import { bracketSteps } from './judging/sequences/bracketSteps.ts';
import { findingsOfMember, judgeSequence } from './judging/sequences/judgeSequence.ts';
import { usualOffset } from './judging/sequences/seriesChecks.ts';
import { seriesExposureSeconds, seriesTargetSeconds } from './judging/sequences/seriesFacts.ts';
import { reportedExposure } from './judging/sceneLight.ts';
import { judgeShutter } from './judging/shutter.ts';
import { measureRecording } from './measuring/measure.ts';
import { locatePrograms, type Program } from './programs/locate.ts';
import { readDump, type DumpEntry } from './reading/dump.ts';
import { fittedFor, loadFlightNotes, type FlightNotes } from './reading/flightNotes.ts';
import { readRecording } from './reading/recordings.ts';
import { groupSequences } from './reading/sequences.ts';
import { shootingOrder } from './reading/shootingOrder.ts';
import { joinedSplits } from './reading/splitClips.ts';
import { stillTime } from './reading/stillTimes.ts';
import { standingCautions } from './reporting/cautions.ts';
import { reportedRecording } from './reporting/document.ts';
import { reportedSettings } from './reporting/settingsDocument.ts';
import { reportedSequence } from './reporting/sequenceDocument.ts';

export interface AuditProgress {
  readonly done: number;
  readonly total: number;
  /** The recording that was finished last. */
  readonly path: string;
}

export interface AuditOptions {
  readonly limits?: Limits;
  readonly kit?: readonly KitFilter[];
  /** The kit stands in for one that nobody named. */
  readonly kitAssumed?: boolean;
  /** The filter on the lens for the whole dump; flight notes stand back behind it. */
  readonly fitted?: FittedFilter;
  /** Flight notes; without it, flight.toml inside or beside the dump is used where there is one. */
  readonly notesFile?: string;
  readonly measure?: 'off' | 'sampled' | 'every';
  /** Holds every recorded shutter against the motion blur too; it is always measured where none was recorded. */
  readonly checkShutter?: boolean;
  /** ISO 8601; the time of the call where absent. */
  readonly generatedAt?: string;
  /** Recordings worked on at once; as many as there are cores where absent. */
  readonly atOnce?: number;
  readonly onProgress?: (progress: AuditProgress) => void;
  /** Receives small pictures of each recording that was measured; without it none are made. */
  readonly onPictures?: (pictures: RecordingPictures) => void;
}

/**
 * Audits a card dump (or one file of it): reads, measures, judges, advises.
 *
 * @param dump path of a folder or file
 * @returns the audit document; a file that cannot be read is a problem in it
 * @throws HalfturnError where nothing can be audited at all: no such dump, no media in it, no usable ffprobe, bad notes
 */
export async function audit(dump: string, options: AuditOptions = {}): Promise<AuditDocument> {
  const { limits = defaultLimits, kit = commonKit, measure = 'sampled', fitted } = options;
  const notes = await loadFlightNotes(dump, options.notesFile, kit);
  const [{ entries, problems, leftAside }, programs] = await Promise.all([readDump(dump), locatePrograms()]);

  const examined = inShootingOrder(await examineAll(entries, programs, { ...options, measure }));
  const fileNotes = notesOn(examined);
  const gathered = examined.flatMap(({ recording, measurement }): readonly Evidence[] => {
    if (recording === undefined) return [];
    const onLens = fitted ?? fittedByNotes(recording, notes) ?? recordedFilter(recording);
    return [
      evidenceOf({
        recording,
        measurement,
        limits,
        kit,
        fitted: onLens,
        fNumbersSeen: fNumbersOf(recording, examined),
      }),
    ];
  });
  const sequences = groupSequences(gathered.map(({ recording }) => recording));
  const inSequence = new Set(sequences.flatMap(({ members }) => members.map(({ path }) => path)));
  const byFlight = judgeFlight(gathered.map(flightLight), kit);
  return {
    format: 'halfturn-audit',
    formatVersion: 1,
    generatedAt: options.generatedAt ?? new Date().toISOString(),
    dump,
    settings: reportedSettings({
      limits,
      kit,
      measure,
      kitAssumed: options.kitAssumed ?? (options.kit === undefined || options.kit === commonKit),
    }),
    recordings: gathered.map((evidence) => {
      const { path } = evidence.recording;
      return conclude(evidence, { beside: byFlight.get(path) ?? [], inSequence: inSequence.has(path) });
    }),
    sequences: sequences.map((sequence) => concludeSequence(sequence, gathered)),
    problems: [...problems, ...examined.flatMap((one) => one.problems)],
    leftAside: { ...leftAside, ...editedCount(examined) },
    ...(fileNotes.length === 0 ? {} : { notes: fileNotes }),
    cautions: standingCautions,
  };
}

interface Examined {
  readonly recording?: Recording;
  readonly measurement?: Measurement;
  /** Set where the file turned out to be no recording. */
  readonly edited?: Note;
  readonly problems: readonly Problem[];
}

/** Problems without a recording stay in front, in the order of the walk. */
function inShootingOrder(examined: readonly Examined[]): readonly Examined[] {
  const measured = new Map(examined.map(({ recording, measurement }) => [recording?.path, measurement]));
  const read = examined.flatMap(({ recording }) => recording ?? []);
  const ordered = joinedSplits(shootingOrder(read)).map((recording): Examined => {
    const measurement = measured.get(recording.path);
    return { recording, ...(measurement && { measurement }), problems: [] };
  });
  const rest = examined.map(({ edited, problems }) => ({ ...(edited && { edited }), problems }));
  return [...rest, ...ordered];
}

function notesOn(examined: readonly Examined[]): readonly Note[] {
  return examined.flatMap(({ recording, edited }) => [
    ...(edited === undefined ? [] : [edited]),
    ...(recording?.copies ?? []).map((path) => ({ path, message: `is a copy of ${recording!.path}` })),
  ]);
}

function editedCount(examined: readonly Examined[]): { readonly edited?: number } {
  const edited = examined.filter((one) => one.edited !== undefined).length;
  return edited === 0 ? {} : { edited };
}

interface Programs {
  readonly ffprobe: Program;
  readonly ffmpeg: Program;
}

async function examineAll(
  entries: readonly DumpEntry[],
  programs: Programs,
  options: AuditOptions,
): Promise<readonly Examined[]> {
  let done = 0;
  return mapAtOnce(entries, options.atOnce ?? availableParallelism(), async (entry) => {
    const examined = await examine(entry, programs, options);
    done += 1;
    options.onProgress?.({ done, total: entries.length, path: entry.path });
    return examined;
  });
}

/** Reads and measures one recording. Whatever goes wrong stays with this recording. */
async function examine(entry: DumpEntry, programs: Programs, options: AuditOptions): Promise<Examined> {
  const { recording, problem, edited } = await readRecording(entry, programs);
  const problems = problem === undefined ? [] : [problem];
  if (edited !== undefined) return { edited, problems };
  if (recording === undefined || options.measure === 'off' || options.measure === undefined)
    return { ...(recording && { recording }), problems };
  try {
    const measurement = await measureRecording(recording, {
      program: programs.ffmpeg,
      mode: options.measure,
      limits: options.limits ?? defaultLimits,
      ...(options.checkShutter === undefined ? {} : { checkShutter: options.checkShutter }),
      ...(options.onPictures === undefined ? {} : { onPictures: options.onPictures }),
    });
    return { recording, measurement, problems };
  } catch (error) {
    return { recording, problems: [...problems, unmeasured(entry.path, error)] };
  }
}

function unmeasured(path: string, error: unknown): Problem {
  if (error instanceof HalfturnError)
    return { path, message: `could not be measured, only read: ${error.message}`, hint: error.hint ?? '' };
  const message = error instanceof Error ? error.message : String(error);
  return {
    path,
    message: `was read, but measuring its picture failed inside Halfturn (${message})`,
    hint: 'What was recorded still stands. Please report this with the file: it is a fault in Halfturn.',
  };
}

/** All that is known of one recording before anything is concluded from it. */
interface Evidence {
  readonly recording: Recording;
  readonly measurement: Measurement | undefined;
  readonly limits: Limits;
  readonly kit: readonly KitFilter[];
  readonly fitted: FittedFilter | undefined;
  readonly fNumbersSeen: readonly number[];
  readonly offset: ExposureOffset | undefined;
}

function evidenceOf(given: Omit<Evidence, 'offset'>): Evidence {
  const recording = withMeasuredExposure(given.recording, given.measurement);
  return { ...given, recording, offset: exposureOffset(recording, given.measurement) };
}

interface Around {
  /** What was found in it beside the others of its flight. */
  readonly beside: readonly Finding[];
  readonly inSequence: boolean;
}

function conclude(evidence: Evidence, { beside, inSequence }: Around): ReportedRecording {
  const { recording, measurement, limits, offset } = evidence;
  const shutter = judgeShutter({ recording, measurement, limits });
  const advice = adviseFilter({
    ...evidence,
    measured: measuredUncertainty(recording, measurement),
    highlightRoom: highlightRoom(measurement, limits),
  });
  const own = judge({ recording, measurement, limits, offset });
  return reportedRecording({
    recording,
    ...(measurement && { measurement }),
    ...(shutter && { shutter }),
    ...(advice && { advice }),
    exposure: reportedExposure(recording, offset, evidence.fitted),
    findings: mostSeriousFirst([...(inSequence ? findingsOfMember(own) : own), ...beside]),
    windowStops: limits.windowStops,
    baseIso: limits.baseIso,
  });
}

function flightLight(evidence: Evidence) {
  const { recording, offset, fitted } = evidence;
  return {
    recording,
    fitted,
    sceneEv100: reportedExposure(recording, offset, fitted).sceneEv100,
    steady: exposureDrifts(evidence) === undefined,
    atSeconds: stillTime(recording)?.atSeconds,
  };
}

function concludeSequence(sequence: StillSequence, gathered: readonly Evidence[]): ReportedSequence {
  const members = sequence.members.map((member) => gathered.find(({ recording }) => recording === member)!);
  const [{ limits, kit, fitted }] = members as [Evidence];
  const findings = judgeSequence({ sequence, evidence: members, limits });
  const { windowStops } = limits;
  if (sequence.kind === 'bracket')
    return reportedSequence({
      sequence,
      findings,
      windowStops,
      stepsStops: bracketSteps(sequence.members),
    });
  const offset = usualOffset(members.flatMap((member) => member.offset ?? []));
  const exposureSeconds = seriesExposureSeconds(sequence);
  const targetSeconds = seriesTargetSeconds(sequence.intervalSeconds, limits);
  const sameFilter = members.every((member) => member.fitted?.label === fitted?.label);
  const advice =
    exposureSeconds === undefined
      ? undefined
      : adviseSeries({
          exposureSeconds,
          targetSeconds,
          intervalSeconds: sequence.intervalSeconds,
          iso: members[0]?.recording.facts.iso?.value,
          offset,
          fitted: sameFilter ? fitted : undefined,
          kit,
          limits,
        });
  return reportedSequence({
    sequence,
    findings,
    windowStops,
    exposureSeconds,
    targetSeconds,
    advice,
    basis: offset?.basis,
  });
}

function fittedByNotes(recording: Recording, notes: FlightNotes | undefined): FittedFilter | undefined {
  return notes && fittedFor(recording, notes);
}

/** f-numbers that recordings of the same camera carry. */
function fNumbersOf({ facts }: Recording, examined: readonly Examined[]): readonly number[] {
  const alike = examined.filter(({ recording }) => recording?.facts.camera?.value === facts.camera?.value);
  return [...new Set(alike.flatMap(({ recording }) => recording?.facts.fNumber?.value ?? []))];
}

/** Like `Promise.all(items.map(work))`, with at most `most` of them under way. */
async function mapAtOnce<T, R>(
  items: readonly T[],
  most: number,
  work: (item: T) => Promise<R>,
): Promise<R[]> {
  const results: R[] = [];
  const waiting = items.entries();
  const worker = async (): Promise<void> => {
    for (const [index, item] of waiting) results[index] = await work(item);
  };
  await Promise.all(Array.from({ length: Math.min(most, items.length) }, worker));
  return results;
}
