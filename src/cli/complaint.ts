import { sentence } from '../report/dumpWording.ts';

/** Says on standard error what went wrong and what to do. */
export function complain({ message, hint = '' }: { message: string; hint?: string }): void {
  const sentences = [message, hint].filter((part) => part !== '').map(sentence);
  process.stderr.write(`halfturn: ${sentences.join(' ')}\n`);
}
