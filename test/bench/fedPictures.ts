import { spawnSync } from 'node:child_process';
import { chmodSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { costOf } from './cost.ts';

/**
 * What an audit has decoded, as one file: all pictures that it hands to ffmpeg, in as many runs as it likes. Decoding that
 * file to nothing in one process is the yardstick for what the audit costs.
 */
export function picturesOf(audit: readonly string[], folder: string): string {
  const bin = path.join(folder, 'bin');
  const feeds = path.join(folder, 'feeds');
  rmSync(feeds, { recursive: true, force: true });
  mkdirSync(feeds);
  mkdirSync(bin, { recursive: true });
  const real = spawnSync('/bin/sh', ['-c', 'command -v ffmpeg'], { encoding: 'utf8' }).stdout.trim();
  const script = path.join(bin, 'ffmpeg');
  // An ffmpeg that keeps what it is fed.
  writeFileSync(
    script,
    `#!/bin/sh\ncase " $* " in *" pipe:0 "*) tee "${feeds}/$(date +%s%N)" | ${real} "$@" ;; *) exec ${real} "$@" ;; esac\n`,
  );
  chmodSync(script, 0o755);
  costOf(audit, { ...process.env, PATH: `${bin}:${process.env['PATH']}` });
  const [first, ...others] = readdirSync(feeds)
    .sort()
    .map((name) => readFileSync(path.join(feeds, name)));
  if (first === undefined) throw new Error('nothing was handed to ffmpeg');
  const file = path.join(folder, 'fed.mp4');
  writeFileSync(file, Buffer.concat([first, ...others.map(withoutHead)]));
  return file;
}

/** From the first fragment on. */
function withoutHead(feed: Buffer): Buffer {
  let at = 0;
  while (at + 8 <= feed.length && feed.toString('latin1', at + 4, at + 8) !== 'moof')
    at += feed.readUInt32BE(at);
  return feed.subarray(at);
}

export function decodedToNothing(file: string, ...reading: readonly string[]): readonly string[] {
  const decode = ['-threads', '1', ...reading, '-i', file, '-map', '0:V:0', '-vsync', 'passthrough'];
  return ['ffmpeg', '-v', 'fatal', '-nostdin', ...decode, '-f', 'null', '-'];
}
