import { openMemory } from '../cache/memory.ts';
import type { ScratchFile } from '../cache/scratchFile.ts';
import type { AuditDocument } from '../document/auditDocument.ts';
import { commonKit } from '../domain/kit.ts';
import { lazyList } from '../domain/lazyList.ts';
import { defaultLimits } from '../domain/limits.ts';
import { judgeFlight } from '../findings/judge.ts';
import { locatePrograms } from '../programs/locate.ts';
import { readDump } from '../reading/dump.ts';
import { unmatchedNotes } from '../reading/flightNotes.ts';
import { loadFlightNotes } from '../reading/loadFlightNotes.ts';
import { comparePaths } from '../reading/pathOrder.ts';
import { groupSequences } from '../reading/sequences.ts';
import { computerZoneOffsetAt } from '../reading/timeZone.ts';
import { reportedSettings } from '../report/buildDocument.ts';
import { standingCautions } from '../report/dumpWording.ts';
import { conclude, flightLight } from './conclude.ts';
import { concludeSequences } from './concludeSequences.ts';
import { gatherEvidence } from './evidence.ts';
import { examineAll } from './examineAll.ts';
import { editedCount, inShootingOrder, notesOn } from './examined.ts';
import type { Examiner } from './examiner.ts';
import type { AuditOptions } from './options.ts';

/**
 * Audits a dump that is too large to be held: what came of each file waits in the scratch file until the last one is
 * read, and then the recordings of the document do. Each is read from it whenever it is asked for, so the file must be
 * there for as long as the document is.
 *
 * @throws HalfturnError as `audit()` does
 */
export async function auditInto(
  { scratch, examiner }: { readonly scratch: ScratchFile; readonly examiner: Examiner },
  dump: string,
  options: AuditOptions,
): Promise<AuditDocument> {
  const { limits = defaultLimits, kit = commonKit, measure = 'sampled', fitted } = options;
  const notes = await loadFlightNotes(dump, options.notesFile, kit);
  const memory = options.cacheFolder === undefined ? undefined : openMemory(options.cacheFolder);
  const [{ entries, problems: inWalk, leftAside, isOneFile }, programs] = await Promise.all([
    readDump(dump),
    locatePrograms(process.env, memory),
  ]);
  const means = { ...programs, memory, scratch, examiner };
  const { concluded: inWalkOrder, remembered } = await examineAll(entries, means, options);
  const trouble = await memory?.close();
  options.onRemembered?.({ remembered, total: entries.length, trouble });

  const concluded = inShootingOrder(inWalkOrder);
  const fileNotes = notesOn(concluded);
  const problems = [...inWalk, ...concluded.flatMap((one) => one.problems)];
  const gathered = gatherEvidence(concluded, { limits, kit, fitted, notes });
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
    recordings: kept(gathered, scratch, (evidence) => {
      const { path } = evidence.recording;
      return conclude(evidence, { beside: byFlight.get(path) ?? [], inSequence: inSequence.has(path) });
    }),
    sequences: concludeSequences(sequences, gathered),
    problems: [
      ...problems.toSorted((a, b) => comparePaths(a.path, b.path)),
      // Notes of a whole card name more than one file of it.
      ...(notes === undefined || isOneFile === true
        ? []
        : unmatchedNotes(notes, {
            recordings: gathered.map(({ recording }) => recording),
            otherPaths: [...problems, ...fileNotes].map(({ path }) => path),
            zoneOffsetAt: computerZoneOffsetAt,
          })),
    ],
    leftAside: { ...leftAside, ...editedCount(concluded) },
    notes: fileNotes.length === 0 ? undefined : fileNotes,
    cautions: standingCautions,
  };
}

/** Makes one after another and holds on to none of them. */
function kept<From, To>(
  values: readonly From[],
  { keep }: ScratchFile,
  made: (value: From) => To,
): readonly To[] {
  const asked = values.map((value) => keep(made(value)));
  return readWhenAsked(asked);
}

/** In a function of its own, which holds on to nothing else. */
function readWhenAsked<T>(asked: readonly (() => T)[]): readonly T[] {
  return lazyList(asked.length, (index) => asked[index]!());
}
