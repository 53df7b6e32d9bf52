import { mkdir, truncate, stat, writeFile } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { CLIP_WITH_PROXY, CLIPS, EMPTY_CLIP, TRUNCATED_CLIP } from './clips.ts';
import { EXACT, runFfmpeg, X264 } from './encode.ts';
import type { Tagger } from './tag.ts';

/** Files that lie on every card and are no recordings, and why an audit should leave them aside. */
export interface LeftAside {
  readonly path: string;
  readonly why: string;
}

const folder = dirname(CLIP_WITH_PROXY);
const PROXY = `${folder}/PROXY/${basename(CLIP_WITH_PROXY)}`;
const THUMBNAIL = CLIP_WITH_PROXY.replace('.MP4', '.THM');
const APPLE_DOUBLE = `${folder}/._${basename(CLIP_WITH_PROXY)}`;
const README = `${folder}/readme.txt`;

export const LEFT_ASIDE: readonly LeftAside[] = [
  { path: PROXY, why: 'low-resolution copy of a clip' },
  { path: THUMBNAIL, why: 'thumbnail file of a clip' },
  { path: APPLE_DOUBLE, why: 'hidden AppleDouble companion' },
  { path: README, why: 'not a recording' },
];

export const UNREADABLE: readonly LeftAside[] = [
  { path: TRUNCATED_CLIP.file, why: 'cut in half: its index is lost' },
  { path: EMPTY_CLIP, why: 'zero bytes' },
];

export async function breakTruncatedClip(card: string): Promise<void> {
  const file = join(card, TRUNCATED_CLIP.file);
  const { size } = await stat(file);
  await truncate(file, Math.floor(size / 2));
}

export async function writeStrays(card: string, ffmpeg: string, tagger: Tagger): Promise<void> {
  const source = ['-i', `file:${join(card, CLIP_WITH_PROXY)}`];
  const exact = ['-map', '0:v', ...EXACT];
  await mkdir(join(card, dirname(PROXY)), { recursive: true });
  const small = ['-vf', 'scale=320:180', ...X264, '-crf', '26', '-threads', '2', '-pix_fmt', 'yuv420p'];
  await runFfmpeg(ffmpeg, [...source, ...exact, ...small, `file:${join(card, PROXY)}`]);
  // DCF (JEITA CP-3461) thumbnails are 160 x 120; the clip is wider, so it gets bars.
  const thumb = [
    '-frames:v',
    '1',
    '-vf',
    'scale=160:90,pad=160:120:0:15',
    '-q:v',
    '4',
    '-c:v',
    'mjpeg',
    '-f',
    'image2',
  ];
  await runFfmpeg(ffmpeg, [
    ...source,
    ...exact,
    ...thumb,
    '-pix_fmt',
    'yuvj420p',
    `file:${join(card, THUMBNAIL)}`,
  ]);
  const recordedAt = CLIPS.find(({ file }) => file === CLIP_WITH_PROXY)?.recordedAt ?? '';
  await tagger.tagThumbnail(join(card, THUMBNAIL), recordedAt);
  await writeFile(join(card, APPLE_DOUBLE), appleDouble());
  await writeFile(join(card, README), 'Card 014. Format in the camera before the next flight.\n');
  await writeFile(join(card, EMPTY_CLIP), '');
}

/** AppleDouble header (RFC 1740, appendix A) with empty Finder info and an empty resource fork. */
function appleDouble(): Buffer {
  const bytes = Buffer.alloc(82);
  const entries = [
    [9, 50, 32],
    [2, 82, 0],
  ];
  bytes.writeUInt32BE(0x00051607, 0);
  bytes.writeUInt32BE(0x00020000, 4);
  bytes.writeUInt16BE(entries.length, 24);
  entries.flat().forEach((value, index) => bytes.writeUInt32BE(value, 26 + index * 4));
  return bytes;
}
