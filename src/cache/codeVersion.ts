import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';

// What was measured once counts only for the code that measured it: every file of the rooms that have a part in it, as
// they lie beside this one, and the packages they call.

const rooms = ['audit', 'cache', 'containers', 'domain', 'measuring', 'programs', 'reading'];
const root = path.resolve(import.meta.dirname, '..');

let ownVersion: string | undefined;

/** 64 hex digits that change with anything in the code, ours or below a folder, that could change what is measured. */
export function codeVersion(folder?: string): string {
  if (folder !== undefined) return versionOf(folder);
  ownVersion ??= versionOf(root);
  return ownVersion;
}

function versionOf(folder: string): string {
  const hash = createHash('sha256');
  const add = (text: string | Buffer): void => void hash.update(`${text.length}\n`).update(text);
  [process.version, process.platform, process.arch, ...packageVersions()].forEach(add);
  for (const file of rooms.flatMap((room) => codeFiles(folder, room))) {
    add(file);
    add(readFileSync(path.join(folder, file)));
  }
  return hash.digest('hex');
}

function codeFiles(folder: string, room: string): string[] {
  return readdirSync(path.join(folder, room), { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.[jt]sx?$/.test(name) && !name.endsWith('.d.ts'))
    .sort()
    .map((name) => path.join(room, name));
}

interface Manifest {
  readonly version?: string;
  readonly dependencies?: Readonly<Record<string, string>>;
}

function packageVersions(): string[] {
  const own = manifest(path.join(root, '..', 'package.json'));
  const installed = Object.keys(own?.dependencies ?? {}).map((name) => `${name} ${installedVersion(name)}`);
  return [own?.version ?? '', ...installed];
}

function installedVersion(name: string): string {
  const folders = createRequire(import.meta.url).resolve.paths(name) ?? [];
  const manifests = folders.map((folder) => manifest(path.join(folder, name, 'package.json')));
  return manifests.find((manifest) => manifest !== undefined)?.version ?? 'absent';
}

function manifest(file: string): Manifest | undefined {
  try {
    return JSON.parse(readFileSync(file, 'utf8')) as Manifest;
  } catch {
    return undefined;
  }
}
