import type { AuditProgress } from '../audit/options.ts';

/** One line on a terminal's standard error, rewritten in place; nothing anywhere else. */
export function showProgress(stream: NodeJS.WriteStream | undefined): {
  step: (progress: AuditProgress) => void;
  clear: () => void;
} {
  if (stream === undefined || stream.isTTY !== true) return { step: () => {}, clear: () => {} };
  const startedMs = performance.now();
  return {
    step: (progress) => {
      const line = progressLine(progress, (performance.now() - startedMs) / 1000);
      stream.write(`\r${line.slice(0, (stream.columns ?? 80) - 1)}\u001b[K`);
    },
    clear: () => void stream.write('\r\u001b[K'),
  };
}

/**
 * Counts, name, and the time left once a few recordings have shown the pace.
 *
 * @example progressLine({ done: 10, total: 40, path: 'A.MP4' }, 20) // '10 of 40 recordings, about 60 s left · A.MP4'
 */
export function progressLine({ done, total, path }: AuditProgress, elapsedSeconds: number): string {
  const secondsLeft = Math.round((elapsedSeconds / Math.max(done, 1)) * (total - done));
  const left =
    done < 3
      ? ''
      : `, about ${secondsLeft < 100 ? `${secondsLeft} s` : `${Math.round(secondsLeft / 60)} min`} left`;
  return `${done} of ${total} recordings${left} · ${path}`;
}
