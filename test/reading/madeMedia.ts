import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { renderMedia } from '../renderMedia.ts';

/** Makes media with ffmpeg. Paths in `args` are as they stand; nothing goes through a shell. */
export async function makeMedia(...args: readonly string[]): Promise<void> {
  renderMedia(args);
}

/** The arguments for a moving test picture. */
export function testPicture(rate: string, seconds: number, size = '320x180'): string[] {
  return ['-f', 'lavfi', '-i', `testsrc2=size=${size}:rate=${rate}:duration=${seconds}`];
}

/** An empty folder of its own, and how to be rid of it. */
export async function scratchFolder(): Promise<{ readonly path: string; remove(): Promise<void> }> {
  const path = await mkdtemp(join(tmpdir(), 'halfturn-'));
  return { path, remove: () => rm(path, { recursive: true, force: true }) };
}
