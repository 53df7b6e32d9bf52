import type { Problem } from '../domain/recording.ts';
import { firstFew } from './arrangement.ts';
import { problemText } from './cautions.ts';

/** Files of which the same is to be said, and what. */
export interface ProblemGroup {
  /** The first few of them, with how many they are. */
  readonly name: string;
  /** As the rest of a sentence that begins with the name. */
  readonly text: string;
  readonly files: number;
}

const namesSaid = 6;

/**
 * Equal problems said once, in the order of the first of each. A card whose files are all damaged has one problem for
 * each of them and one thing to say.
 */
export function problemGroups(problems: readonly Problem[]): readonly ProblemGroup[] {
  const paths = new Map<string, string[]>();
  for (const problem of problems) {
    const text = problemText(problem);
    const alike = paths.get(text);
    if (alike === undefined) paths.set(text, [problem.path]);
    else alike.push(problem.path);
  }
  return [...paths].map(([text, alike]) => groupOf(text, alike));
}

function groupOf(text: string, paths: readonly string[]): ProblemGroup {
  const files = paths.length;
  const names = firstFew(paths, namesSaid);
  if (files === 1) return { name: names, text, files };
  return { name: `${names}${files > namesSaid ? ` (${files} in all)` : ''}:`, text: `each ${text}`, files };
}
