import type { RecordingKind } from '../domain/recording.ts';

const clipExtensions = new Set('mp4 mov m4v mkv webm mts m2ts ts mxf avi cine'.split(' '));
const stillExtensions = new Set('jpg jpeg tif tiff dng heic heif hif avif png webp'.split(' '));
/** For people: those of clips, then those of stills. */
export const recognisedEndings = [clipExtensions, stillExtensions]
  .map((endings) => [...endings].join(', '))
  .join('; ');
/** Of low-resolution copies that cameras write beside their clips (common practice, no source). */
const copyExtensions = new Set(['lrv', 'lrf']);
const copySuffix = /[._-]proxy$/;
const sidecarExtensions = new Set(['srt', 'xmp']);
const systemNames = new Set([
  'thumbs.db',
  'desktop.ini',
  'system volume information',
  '$recycle.bin',
  'lost.dir',
  'lost+found',
  'found.000',
  '__macosx',
]);

/** Why a file was left alone; the key of the counts in the audit document. */
export type LeftAside =
  'hidden' | 'proxies' | 'thumbnails' | 'links' | 'unpaired-sidecars' | 'duplicates' | 'edited' | 'other';

type NameClass =
  | { readonly is: RecordingKind }
  | { readonly is: 'sidecar'; readonly type: 'srt' | 'xmp' }
  | { readonly is: 'left-aside'; readonly reason: LeftAside };

/**
 * A file name as text whose every character is one byte: lossless, and lower case in its ASCII part only; `stem` and
 * `extension` are what stands before its last dot and behind it.
 */
export function nameParts(name: Uint8Array): {
  readonly key: string;
  readonly stem: string;
  readonly extension: string;
} {
  const key = Buffer.from(name)
    .toString('latin1')
    .replace(/[A-Z]/g, (letter) => letter.toLowerCase());
  const dot = key.lastIndexOf('.');
  if (dot <= 0) return { key, stem: key, extension: '' };
  return { key, stem: key.slice(0, dot), extension: key.slice(dot + 1) };
}

export function classifyName(name: Uint8Array): NameClass {
  const { key, stem, extension } = nameParts(name);
  if (isHidden(key)) return { is: 'left-aside', reason: 'hidden' };
  if (extension === 'thm' || /[_-]thumb(nail)?$/.test(stem))
    return { is: 'left-aside', reason: 'thumbnails' };
  if (sidecarExtensions.has(extension)) return { is: 'sidecar', type: extension as 'srt' | 'xmp' };
  const kind = clipExtensions.has(extension) ? 'clip' : stillExtensions.has(extension) ? 'still' : undefined;
  if (kind === undefined) return { is: 'left-aside', reason: 'other' };
  if (copySuffix.test(stem)) return { is: 'left-aside', reason: 'proxies' };
  return { is: kind };
}

/**
 * The stem of the clip that a file is a low-resolution copy of; undefined where nothing says so.
 *
 * @param isInCopies whether it lies in a folder for such copies
 */
export function copiedStem(name: Uint8Array, isInCopies: boolean): string | undefined {
  const { key, stem, extension } = nameParts(name);
  if (isHidden(key)) return undefined;
  const original = stem.replace(copySuffix, '');
  if (copyExtensions.has(extension)) return original;
  return clipExtensions.has(extension) && (isInCopies || original !== stem) ? original : undefined;
}

/** Why a whole folder is left alone; undefined where it is to be walked. */
export function folderLeftAside(name: Uint8Array): LeftAside | undefined {
  const { key } = nameParts(name);
  if (isHidden(key)) return 'hidden';
  if (/^prox(y|ies|ys)$/.test(key)) return 'proxies';
  if (/^thumb(nail)?s?$/.test(key)) return 'thumbnails';
  return undefined;
}

function isHidden(key: string): boolean {
  return key.startsWith('.') || systemNames.has(key);
}

/** Where a recording stands by its name: folder number 100 to 999, file number 1 to 9999. */
interface DcfName {
  /** The folder up to its number: files of one camera's folder share it. */
  readonly folder: string;
  readonly folderNumber: number;
  /** The four free characters before the file number. */
  readonly prefix: string;
  readonly fileNumber: number;
}

// CIPA DC-009 (Design rule for Camera File system): a folder of a three-digit number and five free characters, in it
// files of four free characters and a four-digit number.
const pattern = /^(?:(.*)\/)?([1-9]\d\d)[0-9A-Z_]{5}\/([0-9A-Z_]{4})(\d{4})\.[^./]+$/i;

/** Reads the last folder and the name of a path; undefined where they do not follow the rule for camera cards. */
export function dcfName(path: string): DcfName | undefined {
  const [, folder = '', folderNumber, prefix = '', fileNumber] = pattern.exec(path) ?? [];
  if (folderNumber === undefined || Number(fileNumber) === 0) return undefined;
  return {
    folder,
    folderNumber: Number(folderNumber),
    prefix: prefix.toUpperCase(),
    fileNumber: Number(fileNumber),
  };
}

/**
 * The order of paths folder by folder, the numbers in their names by value, the same on every system.
 * @example comparePaths('B/CLIP2.MP4', 'B/CLIP10.MP4') // -1
 */
export function comparePaths(a: string, b: string): number {
  const folderOf = (path: string): string => path.slice(0, path.lastIndexOf('/') + 1);
  return compareNumbered(folderOf(a), folderOf(b)) || compareNumbered(a, b) || compareText(a, b);
}

function compareNumbered(a: string, b: string): number {
  const parts: readonly string[] = a.match(/\d+|\D+/g) ?? [];
  const others: readonly string[] = b.match(/\d+|\D+/g) ?? [];
  const at = parts.findIndex((part, place) => compareParts(part, others[place]) !== 0);
  return at < 0 ? parts.length - others.length : compareParts(parts[at]!, others[at]);
}

function compareParts(a: string, b = ''): number {
  if (![a, b].every((part) => /^\d+$/.test(part))) return compareText(a, b);
  // As text, because a name may hold more digits than a number.
  const [number, other] = [a.replace(/^0+/, ''), b.replace(/^0+/, '')];
  return number.length - other.length || compareText(number, other);
}

/**
 * The order of texts by their code units, the same on every system and in every language.
 * @example compareText('B', 'a') // -1
 */
export function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
