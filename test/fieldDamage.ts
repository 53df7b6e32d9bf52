import { createHash } from 'node:crypto';
import {
  copyFileSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  readdirSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { readAuditDocument } from '../src/document/readDocument.ts';
import { groupedBy } from '../src/domain/grouping.ts';
import { peakMegabytes } from './bench/cost.ts';
import { randomNumbers } from './measuring/texture.ts';

// npm run field:damage -- <folder> [<how many files>] [<seed>]
//
// Damages copies of media that strangers made, audits them in batches and says what must not be: an audit that fails or does
// not end, a dump that was written into, a file that nothing is said of, a document that cannot be read again or holds what
// is no word. How much memory an audit took is printed.

const [folder, count = '1000', seed = '31'] = process.argv.slice(2);
const random = randomNumbers(Number(seed));
const filesInBatch = 150;
const mostBytes = 3_000_000;
/** Six seconds for each: some take a decoder to its limit of time. */
const longestMs = 900_000;
const mediaName = /\.(jpe?g|hei[cf]|tiff?|dng|png|webp|avif|mp4|mov|m4v|mkv|webm|mxf|mts|ts|avi|srt|xmp)$/i;
/** Names of boxes, chunks, elements and segments; beside most of them stands a length. */
const landmarks = [
  ...'ftyp moov mdat trak mdia stbl stsd stts stsz stco stsc ctts stss elst meta iloc iinf ipco udta'.split(
    ' ',
  ),
  ...'moof tkhd IHDR IDAT iTXt RIFF movi Exif'.split(' '),
  'II*\0',
  'MM\0*',
  '\xff\xda',
  '\xff\xe1',
  '\x1a\x45\xdf\xa3',
].map((name) => Buffer.from(name, 'latin1'));

const below = (end: number): number => Math.floor(random() * end);
const any = <T>(all: readonly T[]): T => all[below(all.length)]!;

function landmarkIn(bytes: Buffer): number {
  const from = below(bytes.length);
  const places = landmarks.map((name) => bytes.indexOf(name, from)).filter((at) => at >= 0);
  return places.length === 0 ? from : any(places);
}

function cutOut(bytes: Buffer, at: number, removed: number, ...inserted: readonly Buffer[]): Buffer {
  return Buffer.concat([bytes.subarray(0, at), ...inserted, bytes.subarray(at + removed)]);
}

type Damage = (bytes: Buffer, other: Buffer) => Buffer;

const damages: Readonly<Record<string, Damage>> = {
  'cut off': (bytes) => bytes.subarray(0, below(bytes.length)),
  'cut off in the head': (bytes) => bytes.subarray(0, below(Math.min(bytes.length, 4096))),
  'bits flipped': (bytes) => flipped(bytes, bytes.length),
  'bits flipped in the head': (bytes) => flipped(bytes, 4096),
  'a length overwritten': (bytes) => {
    const length = Buffer.alloc(4);
    length.writeUInt32BE(any([0, 1, 4, 7, 8, 0xffff, 0x7fff_ffff, 0x8000_0000, 0xffff_ffff, bytes.length]));
    return cutOut(
      bytes,
      Math.max(0, landmarkIn(bytes) + any([-4, 4])),
      4,
      random() < 0.7 ? length : length.reverse(),
    );
  },
  'a name overwritten': (bytes) => cutOut(bytes, landmarkIn(bytes), 4, any(landmarks)),
  'a stretch repeated': (bytes) => {
    const at = below(bytes.length);
    const stretch = bytes.subarray(at, at + below(20_000));
    return cutOut(bytes, at, 0, ...Array.from({ length: any([1, 2, 20]) }, () => stretch));
  },
  'a stretch blanked': (bytes) => {
    const length = any([4, 64, 4096]);
    return cutOut(bytes, below(bytes.length), length, Buffer.alloc(length, any([0, 255])));
  },
  'a stretch missing': (bytes) => cutOut(bytes, below(bytes.length), any([1, 2, 4, 64, 4096])),
  'nested deep': (bytes) => {
    const depth = any([20, 2000, 20_000]);
    const nest = Buffer.alloc(8 * depth);
    for (let at = 0; at < depth; at++) {
      nest.writeUInt32BE(8 * (depth - at), 8 * at);
      nest.write(at % 2 === 0 ? 'moov' : 'meta', 8 * at + 4, 'latin1');
    }
    return cutOut(bytes, Math.max(0, landmarkIn(bytes) - 4), 0, nest);
  },
  'joined with another file': (bytes, other) =>
    Buffer.concat([bytes.subarray(0, below(bytes.length)), other.subarray(below(other.length))]),
};

function flipped(bytes: Buffer, end: number): Buffer {
  const copy = Buffer.from(bytes);
  for (let left = any([1, 8, 64, 512]); left > 0; left--)
    copy[below(Math.min(end, copy.length))]! ^= 1 << below(8);
  return copy;
}

function main(): Promise<void> {
  if (folder === undefined) throw new Error('npm run field:damage -- <folder> [<how many files>] [<seed>]');
  const names = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((name) =>
    mediaName.test(name),
  );
  const files = names
    .map((name) => path.join(folder, name))
    .filter((file) => statSync(file).size <= mostBytes);
  return damageAndAudit(files);
}

async function damageAndAudit(files: readonly string[]): Promise<void> {
  // Each type gets its share, however many of it there are.
  const byType = [...groupedBy(files, (file) => path.extname(file).toLowerCase()).values()];
  let faults = 0;
  for (let done = 0; done < Number(count); done += filesInBatch) {
    const scratch = mkdtempSync(path.join(tmpdir(), 'halfturn-damage-'));
    const dump = path.join(scratch, 'dump');
    mkdirSync(dump);
    const made = Array.from({ length: filesInBatch }, (_, at) => damagedFile(byType, dump, at));
    const before = digest(dump);
    const startMs = performance.now();
    const told = await faultsOfAudit(dump, path.join(scratch, 'report'), made);
    if (digest(dump) !== before) told.push('the dump was written into');
    const seconds = ((performance.now() - startMs) / 1000).toFixed(0);
    console.log(`${done + filesInBatch} files, ${seconds} s${told.length === 0 ? '' : `, kept in ${dump}`}`);
    for (const fault of told) console.log(`  ${fault}`);
    faults += told.length;
    if (told.length === 0) rmSync(scratch, { recursive: true });
  }
  console.log(`${faults} faults`);
  process.exitCode = faults === 0 ? 0 : 1;
}

interface Damaged {
  readonly name: string;
  readonly what: string;
}

function damagedFile(byType: readonly (readonly string[])[], dump: string, at: number): Damaged {
  const source = any(any(byType));
  const stem = path.join(dump, `F${String(at).padStart(4, '0')}`);
  let bytes = readFileSync(source);
  const kinds: string[] = [];
  for (let left = any([1, 1, 1, 2, 3]); left > 0 && bytes.length > 0; left--) {
    const kind = any(Object.keys(damages));
    bytes = Buffer.from(damages[kind]!(bytes, readFileSync(any(any(byType))))).subarray(0, mostBytes);
    kinds.push(kind);
  }
  // A sidecar without its recording is not read.
  for (const name of readdirSync(path.dirname(source)))
    if (name !== path.basename(source) && path.parse(name).name === path.parse(source).name)
      copyFileSync(path.join(path.dirname(source), name), stem + path.extname(name));
  const file = stem + path.extname(source);
  writeFileSync(file, bytes);
  return { name: path.basename(file), what: `${path.basename(source)}: ${kinds.join(', ')}` };
}

async function faultsOfAudit(dump: string, out: string, made: readonly Damaged[]): Promise<string[]> {
  const words = ['audit', dump, '--no-logbook', '--no-cache', '--quiet', '--out', out];
  try {
    const megabytes = await peakMegabytes([process.execPath, 'bin/halfturn.js', ...words], longestMs);
    console.log(`${megabytes.toFixed(0)} MB at most`);
  } catch (error) {
    return [String(error)];
  }
  const text = readFileSync(path.join(out, 'audit.json'), 'utf8');
  const { recordings, problems, notes = [], leftAside } = readAuditDocument(text, 'audit.json');
  const named = new Set([
    ...recordings.flatMap(({ path: own, sidecars }) => [own, ...sidecars]),
    ...[...problems, ...notes].map(({ path: own }) => own),
  ]);
  const unnamed = made.filter(({ name }) => !named.has(name));
  const aside = Object.values(leftAside).reduce((sum, each) => sum + each, 0);
  const noWords = /.{0,80}(?:\bNaN\b|\bundefined\b|\bInfinity\b|\[object|fault in Halfturn).{0,40}/.exec(
    text,
  );
  return [
    ...(unnamed.length > aside
      ? [`nothing is said of ${unnamed.map(({ name, what }) => `${name} (${what})`).join('; ')}`]
      : []),
    ...(noWords === null ? [] : [`the document holds ${noWords[0]}`]),
  ];
}

/** Of the names and the bytes of all files. */
function digest(dump: string): string {
  const hash = createHash('sha256');
  for (const name of readdirSync(dump).sort()) hash.update(name).update(readFileSync(path.join(dump, name)));
  return hash.digest('hex');
}

await main();
