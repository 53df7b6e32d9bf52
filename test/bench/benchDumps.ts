import { spawnSync } from 'node:child_process';
import { appendFileSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { makeClip, type Clip } from './benchClips.ts';

/** What is recorded beside each clip of a dump. */
export type Recorded = 'one shutter' | 'every frame' | 'nothing';

/** Daylight, and a shutter that fits it: what is measured then is the picture, and not the shutter from its blur. */
const oneShutter =
  '1\n00:00:00,000 --> 00:59:59,000\nISO 100, Shutter speed 1/800 s, Aperture f/2.8, Metered offset +0.0 EV\n';

interface Dump extends Clip {
  /** Where it is made. */
  readonly folder: string;
  readonly count: number;
  readonly recorded?: Recorded;
}

/** Makes a dump of one clip many times over, works with it and takes it away: a few of them fill a disk. */
export async function withDump<T>(
  { folder, count, recorded = 'one shutter', ...clip }: Dump,
  work: (dump: string, first: string) => T | Promise<T>,
): Promise<T> {
  const dump = mkdtempSync(path.join(folder, 'dump-'));
  const clips = Array.from({ length: count }, (_, at) =>
    path.join(dump, `CLIP${String(at).padStart(4, '0')}.MP4`),
  );
  const first = clips[0]!;
  makeClip(folder, clip, first);
  for (const copy of clips.slice(1)) spawnSync('cp', ['--reflink=auto', first, copy]);
  const sidecar = recorded === 'one shutter' ? oneShutter : everyFrame();
  for (const [at, file] of clips.entries()) {
    appendFileSync(file, freeBox(at));
    if (recorded !== 'nothing') writeFileSync(file.replace(/MP4$/, 'SRT'), sidecar);
  }
  try {
    return await work(dump, first);
  } finally {
    rmSync(dump, { recursive: true });
  }
}

/** Copies of one recording are audited once: a free box at the end makes each another file of another length. */
function freeBox(length: number): Buffer {
  const box = Buffer.alloc(8 + length);
  box.writeUInt32BE(box.length);
  box.write('free', 4, 'latin1');
  return box;
}

/** Ten minutes with a cue for each of 30 frames a second. */
function everyFrame(): string {
  const clock = (frame: number): string =>
    new Date((frame * 1000) / 30).toISOString().slice(11, 23).replace('.', ',');
  const cues = Array.from(
    { length: 18_000 },
    (_, at) =>
      `${at + 1}\n${clock(at)} --> ${clock(at + 1)}\nISO ${100 + (at % 7)}, Shutter speed 1/${800 + (at % 90)} s, ` +
      `Aperture f/2.8, Latitude ${(10 + at / 1e5).toFixed(6)}, Longitude ${(20 + at / 1e5).toFixed(6)}\n`,
  );
  return cues.join('\n');
}
