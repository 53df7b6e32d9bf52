import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  accessSync,
  chmodSync,
  constants,
  copyFileSync,
  mkdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
} from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import path from 'node:path';

/** A program of the system; where there is none, the build of 2018 that an optional package carries. */
export function programPath(name: 'ffmpeg' | 'ffprobe'): string {
  for (const folder of (process.env['PATH'] ?? '').split(path.delimiter)) {
    const file = path.join(folder, process.platform === 'win32' ? `${name}.exe` : name);
    if (isExecutable(file)) return file;
  }
  const packaged = createRequire(import.meta.url)(`@${name}-installer/${name}`) as { readonly path: string };
  // Its install script does this, which npm may have been told to leave out.
  if (!isExecutable(packaged.path)) chmodSync(packaged.path, 0o755);
  return packaged.path;
}

function isExecutable(file: string): boolean {
  try {
    accessSync(file, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}

const ffmpeg = programPath('ffmpeg');
/** Is deleted by `npm ci`, and may be at any time. */
const cacheFolder = path.resolve(import.meta.dirname, '../node_modules/.cache/halfturn-test-media');
let version: string | undefined;

/**
 * Makes one file with ffmpeg, its last argument, or has it say something; what the same ffmpeg was told to make before is
 * copied from then.
 */
export function renderMedia(args: readonly string[], raw?: Uint8Array): string {
  const output = args.at(-1)!;
  const kept = keptMedia(args, raw);
  if (kept !== undefined && copied(kept, output)) return '';
  const { status, stdout, stderr, error } = spawnSync(ffmpeg, ['-v', 'error', '-y', ...args], {
    input: raw ?? '',
    encoding: 'utf8',
    maxBuffer: 1 << 26,
  });
  if (status !== 0) throw new Error(`ffmpeg ${args.join(' ')}: ${error?.message ?? stderr}`);
  if (kept === undefined || !isFile(output)) return stdout;
  mkdirSync(cacheFolder, { recursive: true });
  const unfinished = `${kept}.${process.pid}`;
  copyFileSync(output, unfinished);
  renameSync(unfinished, kept);
  return stdout;
}

/** Where a file made in this way is kept: named by ffmpeg, its arguments, and the bytes of every file that they name. */
function keptMedia(args: readonly string[], raw: Uint8Array | undefined): string | undefined {
  const told = args.slice(0, -1).map((word) => (isFile(word) ? readFileSync(word) : word));
  // A file named inside a longer word, as in a list to be joined.
  if (told.some((word) => typeof word === 'string' && word.includes(tmpdir()))) return undefined;
  version ??= spawnSync(ffmpeg, ['-version'], { encoding: 'utf8' }).stdout;
  const hash = createHash('sha256').update(version);
  for (const part of [...told, raw ?? '']) hash.update(`${part.length} `).update(part);
  return path.join(cacheFolder, `${hash.digest('hex')}${path.extname(args.at(-1)!)}`);
}

const isFile = (name: string): boolean => statSync(name, { throwIfNoEntry: false })?.isFile() ?? false;

function copied(from: string, to: string): boolean {
  if (!isFile(from)) return false;
  rmSync(to, { force: true });
  copyFileSync(from, to);
  return true;
}
