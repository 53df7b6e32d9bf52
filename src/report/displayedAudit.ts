import { displayable } from '../domain/displayText.ts';
import type { AuditDocument } from '../document/auditDocument.ts';

/** An audit as it is told to people: texts are safe to print, paths lack the folder that all of them share. */
export interface DisplayedAudit extends AuditDocument {
  /** The folder that all paths share, with a slash at its end, or nothing. */
  readonly folder: string;
}

export function displayedAudit(document: AuditDocument): DisplayedAudit {
  const shown = displayable(document);
  const { recordings, sequences, problems } = shown;
  const ofDump = problems.filter(({ about }) => about === undefined);
  const paths = [recordings, ofDump].flat().map(({ path }) => path);
  const folder = sharedFolder([...paths, ...sequences.flatMap((sequence) => sequence.paths)]);
  const shorter = (path: string): string => path.slice(folder.length);
  return {
    ...shown,
    folder,
    recordings: recordings.map((recording) => ({ ...recording, path: shorter(recording.path) })),
    sequences: sequences.map((sequence) => ({ ...sequence, paths: sequence.paths.map(shorter) })),
    problems: problems.map((problem) =>
      problem.about === undefined ? { ...problem, path: shorter(problem.path) } : problem,
    ),
  };
}

function sharedFolder(paths: readonly string[]): string {
  const folders = paths.map((path) => path.split('/').slice(0, -1));
  const first = folders[0] ?? [];
  const differs = first.findIndex((name, at) => folders.some((folder) => folder[at] !== name));
  const shared = differs === -1 ? first : first.slice(0, differs);
  return shared.length === 0 ? '' : `${shared.join('/')}/`;
}
