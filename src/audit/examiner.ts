import type { DumpEntry } from '../reading/dumpEntries.ts';
import { examine, type Work } from './examine.ts';
import type { Examined } from './examined.ts';

/** Who reads and measures the files of a dump. */
export interface Examiner {
  readonly examine: (entry: DumpEntry, work: Work) => Promise<Examined>;
  /** Lets go of what is held for the next file, as there is none. */
  readonly finish: () => void;
}

/** Examines in the process that asks. */
export const examinerHere: Examiner = { examine, finish: () => undefined };
