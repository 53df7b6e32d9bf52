import { stat } from 'node:fs/promises';

/** Answers that programs gave earlier, by a key that names everything they rest on. */
export interface RememberedAnswers {
  readonly recall: (key: string) => Promise<unknown>;
  readonly keep: (key: string, value: unknown) => Promise<void>;
}

/** Asks a program, unless it was asked before and its file is still the same. */
export async function askedOnce(
  path: string,
  remembered: RememberedAnswers | undefined,
  ask: () => Promise<string>,
): Promise<string> {
  const key = remembered && (await keyOf(path));
  if (remembered === undefined || key === undefined) return ask();
  const known = await remembered.recall(key);
  if (typeof known === 'string') return known;
  const answer = await ask();
  if (answer !== '') await remembered.keep(key, answer);
  return answer;
}

async function keyOf(path: string): Promise<string | undefined> {
  const stats = await stat(path, { bigint: true }).catch(() => undefined);
  if (stats === undefined) return undefined;
  const { dev, ino, size, mtimeNs, ctimeNs } = stats;
  return ['-version', path, dev, ino, size, mtimeNs, ctimeNs].join('\n');
}
