import { execFileSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { expect, test } from 'vitest';
import { bytesSource } from '../../src/containers/byteSource.ts';
import { mp4Pictures } from '../../src/containers/mp4Pictures.ts';
import { locatePrograms } from '../../src/programs/locate.ts';
import { blankFrame, encodeClip, losslessH264, runFfmpeg, temporaryFolder } from '../measuring/encodeClip.ts';

const { ffprobe } = await locatePrograms();

interface Packet {
  readonly position: number;
  readonly sizeBytes: number;
  readonly shownSeconds: number;
  readonly isKey: boolean;
}

/** The pictures as ffprobe lists them, without those that an edit list leaves out. */
function packetsOf(file: string): readonly Packet[] {
  const entries = ['-show_entries', 'packet=pts_time,pos,size,flags', '-of', 'json'];
  const output = execFileSync(ffprobe.path, ['-v', 'error', '-select_streams', 'v:0', ...entries, file], {
    maxBuffer: 1 << 28,
    encoding: 'utf8',
  });
  const { packets } = JSON.parse(output) as {
    packets: readonly Record<'pts_time' | 'pos' | 'size' | 'flags', string>[];
  };
  const shown = packets.filter(({ flags }) => flags[1] !== 'D');
  const first = Math.min(...shown.map((packet) => Number(packet.pts_time)));
  return shown.map((packet) => ({
    position: Number(packet.pos),
    sizeBytes: Number(packet.size),
    shownSeconds: Math.round(1e4 * (Number(packet.pts_time) - first)) / 1e4,
    isKey: packet.flags.startsWith('K'),
  }));
}

function picturesOf(file: string): readonly Packet[] | undefined {
  const table = mp4Pictures(bytesSource(readFileSync(file)));
  if (table === undefined) return undefined;
  return Array.from({ length: table.count }, (_, at) => ({
    position: table.offsets[at]!,
    sizeBytes: table.sizesBytes[at]!,
    shownSeconds: Math.round(1e4 * table.shownSeconds[at]!) / 1e4,
    isKey: table.isKey[at] === 1,
  })).filter(({ shownSeconds }) => shownSeconds >= 0 && shownSeconds < table.endSeconds);
}

const size = { width: 64, height: 48, bitDepth: 8 } as const;
const frames = Array.from({ length: 60 }, (_, i) => blankFrame(size, 20 + 3 * i));
const outOfOrder = ['-c:v', 'libx264', '-qp', '0', '-bf', '3', '-g', '12', '-sc_threshold', '0'];

test.each([
  ['in order', losslessH264],
  ['out of order', outOfOrder],
  ['each a key frame', ['-c:v', 'prores_ks', '-pix_fmt', 'yuv422p10le']],
])('pictures lie and are shown where ffprobe finds them: %s', async (_, codec) => {
  const file = await encodeClip(size, frames, { codec, extension: 'mov' });
  const pictures = picturesOf(file);
  expect(pictures).toHaveLength(60);
  expect(pictures).toEqual(packetsOf(file));
});

test('pictures before the one that an edit list begins with are left out', async () => {
  const file = await encodeClip(size, frames, { codec: outOfOrder, extension: 'mp4' });
  const cut = path.join(temporaryFolder(), 'cut.mp4');
  runFfmpeg('-ss', '0.7', '-i', file, '-c', 'copy', cut);
  expect(picturesOf(cut)!.map(({ position }) => position)).toEqual(
    packetsOf(cut).map(({ position }) => position),
  );
  expect(picturesOf(cut)!.length).toBeLessThan(mp4Pictures(bytesSource(readFileSync(cut)))!.count);
});

test('a file in fragments, with two moving pictures, or without a table has no plain one', async () => {
  const file = await encodeClip(size, frames, { codec: outOfOrder, extension: 'mp4' });
  const folder = temporaryFolder();
  const fragments = path.join(folder, 'fragments.mp4');
  runFfmpeg('-i', file, '-c', 'copy', '-movflags', 'frag_keyframe+empty_moov', fragments);
  const two = path.join(folder, 'two.mp4');
  runFfmpeg('-i', file, '-map', '0:v', '-map', '0:v', '-c', 'copy', two);
  expect([picturesOf(fragments), picturesOf(two)]).toEqual([undefined, undefined]);
  expect(mp4Pictures(bytesSource(Buffer.from('ftyp')))).toBeUndefined();
});

// Of 741 real clips in H.264 eleven have such key frames, and of one of them no picture came after a jump.
test('H.264 whose key frames others refer back across has no plain one', async () => {
  // Without loss the encoder writes closed groups whatever it is told.
  const withLoss = outOfOrder.map((word) => (word === '0' ? '1' : word));
  const open = [...withLoss, '-x264-params', 'open-gop=1:scenecut=0'];
  expect(picturesOf(await encodeClip(size, frames, { codec: withLoss, extension: 'mov' }))).toHaveLength(60);
  expect(picturesOf(await encodeClip(size, frames, { codec: open, extension: 'mov' }))).toBeUndefined();
});

test('a table that was tampered with is refused, and never throws', async () => {
  const file = await encodeClip(size, frames, { codec: outOfOrder, extension: 'mp4' });
  const whole = readFileSync(file);
  const moov = whole.indexOf('moov');
  let refused = 0;
  for (let at = moov + 4; at < whole.length; at += 3) {
    const bytes = Buffer.from(whole);
    bytes[at] = bytes[at]! ^ 0xff;
    if (mp4Pictures(bytesSource(bytes)) === undefined) refused++;
  }
  expect(refused).toBeGreaterThan(50);
});

const realMedia = path.resolve(import.meta.dirname, '../../../shared/real-media');
test.skipIf(!existsSync(realMedia))('real clips: where and when, as ffprobe says (needs real media)', () => {
  const clips = readdirSync(realMedia).filter((name) => /\.(mp4|mov)$/.test(name));
  let compared = 0;
  for (const name of clips) {
    const file = path.join(realMedia, name);
    const pictures = picturesOf(file);
    if (pictures === undefined) continue;
    expect(pictures, name).toEqual(packetsOf(file));
    compared += pictures.length;
  }
  console.log(`${compared} pictures of ${clips.length} real clips`);
  expect(compared).toBeGreaterThan(1000);
});
