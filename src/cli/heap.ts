import { setFlagsFromString } from 'node:v8';

/**
 * Once every file is read, what is kept grows with the card and little is thrown away: V8 need not let the heap run
 * half as far again ahead of it, as it is told to in `bin/` for as long as pictures are measured.
 */
export function growHeapSlowly(): void {
  setFlagsFromString('--heap-growing-percent=20');
}
