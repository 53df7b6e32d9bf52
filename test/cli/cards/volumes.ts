import { mkdirSync, mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { CardPlaces } from '../../../src/cli/cards/search.ts';

/** A folder with made-up volumes in it, each `[path, files]`, and where to look for them. */
export function madeUpVolumes(volumes: Readonly<Record<string, readonly string[]>>): {
  readonly root: string;
  readonly places: CardPlaces;
} {
  const root = mkdtempSync(path.join(tmpdir(), 'halfturn-cards-'));
  for (const [volume, files] of Object.entries(volumes)) {
    mkdirSync(path.join(root, volume), { recursive: true });
    for (const file of files) {
      const whole = path.join(root, volume, file);
      mkdirSync(path.dirname(whole), { recursive: true });
      writeFileSync(whole, '');
    }
  }
  return { root, places: { volumes: [], parents: [{ folder: root, levels: 2 }], wallMs: 20_000 } };
}
