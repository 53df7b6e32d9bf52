import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';

const root = path.resolve(import.meta.dirname, '..');

/** Made by `npm run sample-card`, which `npm test` runs first. */
export const sampleCard = path.join(root, 'sample-card', 'card');
export const sampleSettings = path.join(root, 'sample-media-generator', 'settings.toml');

export interface TrueRecording {
  readonly path: string;
  readonly kind: 'clip' | 'still';
  readonly captureRate?: string;
  readonly durationSeconds?: number;
  readonly frameCount?: number;
  readonly width: number;
  readonly height: number;
  readonly bitDepth: number;
  readonly range?: string;
  readonly transfer?: string;
  readonly exposureSeconds?: number;
  readonly fNumber?: number;
  readonly iso?: number;
  readonly meteredOffsetStops?: number;
  readonly expectedAngleDegrees?: number;
  readonly renderedAngleDegrees?: number;
  readonly latitude?: number;
  readonly longitude?: number;
  readonly motion?: { readonly dxPixelsPerFrame: number; readonly dyPixelsPerFrame: number };
  readonly clipped?: readonly {
    readonly startSeconds?: number;
    readonly endSeconds?: number;
    readonly fraction: number;
    readonly shape?: 'disc' | 'area';
  }[];
  readonly meanLight?: { readonly median: number };
  readonly planted: readonly string[];
}

interface Truth {
  readonly recordings: readonly TrueRecording[];
  readonly leftAside: readonly { readonly path: string }[];
  readonly unreadable: readonly { readonly path: string }[];
}

/** What the generator knows of the card, worked out without any code of ours. */
export function sampleTruth(): Truth {
  const file = path.join(root, 'sample-card', 'truth.json');
  if (!existsSync(file)) throw new Error('There is no sample card: run "npm run sample-card" first.');
  return JSON.parse(readFileSync(file, 'utf8')) as Truth;
}
