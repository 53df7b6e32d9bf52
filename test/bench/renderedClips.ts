import { existsSync, mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import type { BlurCase } from '../../sample-media-generator/blur/blurCase.ts';
import { throughCodec } from '../../sample-media-generator/blur/compressed.ts';
import { renderFrames } from '../../sample-media-generator/blur/footage.ts';
import type { FramePair, LumaPlane } from '../../src/measuring/shutter/framePair.ts';

type Codes = Uint8Array | Uint16Array;

/** Renders a case, or takes it from a folder of earlier renderings. @returns undefined where its photograph is absent */
export async function pairsOf(blur: BlurCase, cache?: string): Promise<readonly FramePair[] | undefined> {
  const file = cache === undefined ? undefined : path.join(cache, `${blur.id}.raw`);
  if (file !== undefined && existsSync(file)) return pairUp(blur, split(blur, readFileSync(file)));
  const rendered = await renderFrames(blur);
  if (rendered === undefined) return undefined;
  const frames = await throughCodec(blur, rendered);
  if (file !== undefined) keep(file, frames);
  return pairUp(blur, frames);
}

function keep(file: string, frames: readonly Codes[]): void {
  mkdirSync(path.dirname(file), { recursive: true });
  const bytes = frames.map((frame) => Buffer.from(frame.buffer, frame.byteOffset, frame.byteLength));
  writeFileSync(`${file}.part`, Buffer.concat(bytes));
  renameSync(`${file}.part`, file);
}

function split({ width, height, bitDepth }: BlurCase, bytes: Buffer): readonly Codes[] {
  const length = width * height * (bitDepth === 8 ? 1 : 2);
  return Array.from({ length: Math.floor(bytes.length / length) }, (_, i) => {
    const frame = new Uint8Array(bytes.subarray(i * length, (i + 1) * length));
    return bitDepth === 8 ? frame : new Uint16Array(frame.buffer);
  });
}

/** Each frame with the next of its moment, at 30 frames/s. The logarithmic curve is one that the measuring code does not know. */
export function pairUp(
  {
    width,
    height,
    bitDepth,
    transfer,
    momentFrames,
  }: Pick<BlurCase, 'width' | 'height' | 'bitDepth' | 'transfer' | 'momentFrames'>,
  frames: readonly Codes[],
): readonly FramePair[] {
  const planes = frames.map((codes, i): LumaPlane => ({
    width,
    height,
    bitDepth,
    codes,
    range: 'narrow',
    transfer: transfer === 'flat-log' ? undefined : transfer,
    atSeconds: i / 30,
  }));
  return planes
    .slice(1)
    .map((second, i) => ({ first: planes[i]!, second }))
    .filter((_, i) => momentFrames === undefined || (i + 1) % momentFrames !== 0);
}
