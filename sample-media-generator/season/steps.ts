import { runHalfturn, type Installed } from './runHalfturn.ts';

/** One thing that happens: a sentence, a command with what it printed, or a text. */
export type Step =
  | { readonly say: string }
  | { readonly heading: string }
  | {
      readonly command: string;
      readonly output: string;
      readonly status: number;
      readonly shown: readonly Excerpt[];
    }
  | { readonly file: string; readonly text: string }
  | { readonly table: readonly (readonly string[])[] };

/** What a short page shows of an output: so many lines from the first that fits. */
export interface Excerpt {
  readonly from: RegExp;
  readonly lines: number;
}

export const first = (lines: number): readonly Excerpt[] => [{ from: /^/, lines }];
export const whole = first(Infinity);
export const entered = { from: /^In the logbook/, lines: 3 };

export interface Tour extends Installed {
  /** Where the cards of the season are made. */
  readonly season: string;
  readonly onStep: (step: Step) => void;
}

export async function run(tour: Tour, words: readonly string[], shown: readonly Excerpt[]): Promise<void> {
  const { stdout, stderr, status } = await runHalfturn(tour, words);
  const command = words.map((word) => (word.includes(' ') ? `"${word}"` : word)).join(' ');
  const output = `${stdout}${stderr}`.replaceAll(remembered, '');
  tour.onStep({ command, output, status, shown });
  if (status !== 0) throw new Error(`halfturn ${command} ended with ${status}: ${stderr}`);
}

/** Whether a file counts as unchanged depends on how long ago it was copied, so this is not the same in each tour. */
const remembered = /^\n?.* unchanged since an earlier audit and not measured again\.\n/gm;
