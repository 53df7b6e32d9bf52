import { audit } from '../../src/audit/audit.ts';

// Run as a program of its own by hostile.test.ts: audits a folder one recording at a time and tells its parent how
// long each took, and at the end what came of it and how much memory that needed.

/** What is told to the parent, in this order: any number of `path`s, then one `document`. */
export interface HostileReport {
  readonly path?: string;
  readonly wallMs?: number;
  readonly document?: Awaited<ReturnType<typeof audit>>;
  readonly peakBytes?: number;
}

const [folder = '', measure = 'off'] = process.argv.slice(2);

async function main(): Promise<void> {
  let startMs = performance.now();
  const document = await audit(folder, {
    measure: measure === 'sampled' ? 'sampled' : 'off',
    workers: 1,
    onProgress: ({ path }) => {
      tell({ path, wallMs: performance.now() - startMs });
      startMs = performance.now();
    },
  });
  tell({ document, peakBytes: process.resourceUsage().maxRSS * 1024 });
}

function tell(report: HostileReport): void {
  process.send?.(report);
}

// Where the audit hangs, the test runner's time is up and the parent goes; to listen for that must not keep this alive.
process.on('disconnect', () => process.exit(1));
process.channel?.unref();
void main();
