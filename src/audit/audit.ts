import { openCache } from '../cache/cache.ts';
import type { AuditDocument } from '../document/auditDocument.ts';
import { commonKit } from '../domain/filterKit.ts';
import { defaultLimits } from '../domain/limits.ts';
import { judgeFlight } from '../findings/judge.ts';
import { locatePrograms } from '../programs/locate.ts';
import { readDump } from '../reading/dump.ts';
import { isNotedTimeLapse, unmatchedNotes } from '../reading/flightNotes.ts';
import { loadFlightNotes } from '../reading/loadFlightNotes.ts';
import { comparePaths } from '../reading/fileNames.ts';
import { groupSequences } from '../reading/sequences.ts';
import { zoneOf } from '../reading/timeZone.ts';
import { reportedSettings } from '../report/buildDocument.ts';
import { withUses } from '../report/recordingUse.ts';
import { standingCautions } from '../report/dumpWording.ts';
import { conclude, concludeSequences, flightLight } from './conclude.ts';
import { gatherEvidence } from './evidence.ts';
import { examineFiles } from './examineFiles.ts';
import type { AuditOptions } from './options.ts';

/**
 * Audits a card dump (or one file of it): reads, measures, judges, advises. Files are read and measured in processes of
 * their own: one that crashes a decoder, or hangs in it, is a problem in the document and ends nothing else.
 *
 * @param dump path of a folder or file
 * @returns the audit document; a file that cannot be read is a problem in it
 * @throws HalfturnError where nothing can be audited at all: no such dump, no media in it, no usable ffprobe, bad notes
 */
export async function audit(dump: string, options: AuditOptions = {}): Promise<AuditDocument> {
  const { limits = defaultLimits, kit = commonKit, measure = 'sampled', fitted } = options;
  const notes = await loadFlightNotes(dump, options.notesFile, kit);
  const zoneOffsetAt = zoneOf(options, notes);
  const cache = options.cacheFolder === undefined ? undefined : openCache(options.cacheFolder);
  const [card, programs] = await Promise.all([readDump(dump), locatePrograms(process.env, cache)]);

  const entries = card.entries.filter(({ kind }) => kind === (options.only ?? kind));
  const examined = await examineFiles(entries, { programs, cache }, { ...options, limits, measure });
  const trouble = await cache?.close();
  options.onCacheUse?.({ fromCache: examined.fromCache, total: entries.length, trouble });

  const evidence = gatherEvidence(examined.evidence, { limits, kit, fitted, notes, zoneOffsetAt });
  const recordings = evidence.map(({ recording }) => recording);
  const sequences = groupSequences(recordings, (recording) => isNotedTimeLapse(recording, notes));
  const sequenceOf = new Map(
    sequences.flatMap((sequence) => sequence.members.map(({ path }) => [path, sequence] as const)),
  );
  const ofFlight = judgeFlight(
    evidence.map((own) => flightLight(own, zoneOffsetAt)),
    kit,
  );

  const problems = [...card.problems, ...examined.problems];
  const copies = recordings.flatMap(({ path, copies: others = [] }) =>
    others.map((other) => ({ path: other, message: `is a copy of ${path}` })),
  );
  // What was done with files and is no fault.
  const fileNotes = [...examined.edited, ...copies];
  // Notes of a whole card name more than one file of it.
  const unmatched =
    notes === undefined || card.isOneFile === true
      ? []
      : unmatchedNotes(notes, {
          recordings,
          otherPaths: [...problems, ...fileNotes].map(({ path }) => path),
          zoneOffsetAt,
        });
  return withUses({
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
    recordings: evidence.map((own) => {
      const { path } = own.recording;
      const alone = options.memberOf && { kind: options.memberOf };
      return conclude(own, { ofFlight: ofFlight.get(path) ?? [], sequence: sequenceOf.get(path) ?? alone });
    }),
    sequences: concludeSequences(sequences, evidence),
    problems: [...problems.toSorted((a, b) => comparePaths(a.path, b.path)), ...unmatched],
    leftAside: {
      ...card.leftAside,
      ...(examined.edited.length > 0 && { edited: examined.edited.length }),
    },
    notes: fileNotes.length === 0 ? undefined : fileNotes,
    cautions: standingCautions,
  });
}
