import { fork } from 'node:child_process';
import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { AuditDocument } from '../../src/document/auditDocument.ts';
import type { HostileReport } from './hostileAudit.ts';

export interface HostileRun {
  readonly document: AuditDocument;
  /** Of the auditing process itself. */
  readonly peakBytes: number;
  readonly files: readonly HostileFile[];
}

interface HostileFile {
  readonly path: string;
  readonly wallMs: number;
  /** Peak of the programs that were running while it was worked on; 0 where none was seen. */
  readonly childPeakBytes: number;
}

const program = fileURLToPath(new URL('hostileAudit.ts', import.meta.url));
// ffprobe lives for a tenth of a second and more.
const watchedEachMs = 15;

/** Audits a folder in a process of its own and watches it and the programs that it starts. */
export async function auditWatched(folder: string, measure: 'off' | 'sampled'): Promise<HostileRun> {
  const child = fork(program, [folder, measure], {
    execArgv: ['--import', 'tsx'],
    serialization: 'advanced',
  });
  const files: HostileFile[] = [];
  let childPeakBytes = 0;
  let last: HostileReport = {};
  const watch = setInterval(() => {
    childPeakBytes = Math.max(childPeakBytes, ...childrenOf(child.pid!).map(peakBytes));
  }, watchedEachMs);
  child.on('message', (report: HostileReport) => {
    if (report.path === undefined) last = report;
    else {
      files.push({ path: report.path, wallMs: report.wallMs ?? 0, childPeakBytes });
      childPeakBytes = 0;
    }
  });
  const [code] = (await once(child, 'close')) as [number | null];
  clearInterval(watch);
  if (code !== 0 || last.document === undefined) throw new Error(`the audit ended with ${code}`);
  return { document: last.document, peakBytes: last.peakBytes ?? 0, files };
}

function childrenOf(pid: number): number[] {
  const children = procFile(`${pid}/task/${pid}/children`).split(' ').filter(Boolean).map(Number);
  return children.flatMap((one) => [one, ...childrenOf(one)]);
}

function peakBytes(pid: number): number {
  return Number(/^VmHWM:\s+(\d+) kB/m.exec(procFile(`${pid}/status`))?.[1] ?? 0) * 1024;
}

/** Empty where the process is gone, or the system keeps no such files. */
function procFile(name: string): string {
  try {
    return readFileSync(`/proc/${name}`, 'utf8');
  } catch {
    return '';
  }
}

export function worstCases({ files, peakBytes }: HostileRun, what: (path: string) => string): string {
  const rows = files
    .toSorted((a, b) => b.wallMs - a.wallMs || b.childPeakBytes - a.childPeakBytes)
    .slice(0, 12)
    .map(({ path, wallMs, childPeakBytes }) =>
      [
        `${(wallMs / 1000).toFixed(2)} s`.padStart(8),
        `${Math.round(childPeakBytes / 1e6)} MB`.padStart(7),
        path.padEnd(16),
        what(path),
      ].join('  '),
    );
  return [`own peak ${Math.round(peakBytes / 1e6)} MB; wall time, peak of programs, file:`, ...rows].join(
    '\n',
  );
}
