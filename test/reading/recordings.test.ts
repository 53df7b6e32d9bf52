import { chmod, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { withMetadataTrack } from '../../sample-media-generator/carriers/metadataTrack.ts';
import { locatePrograms } from '../../src/programs/locate.ts';
import { readDump } from '../../src/reading/dump.ts';
import { readRecording } from '../../src/reading/recordings.ts';
import { makeMedia, scratchFolder, testPicture } from './madeMedia.ts';

const folder = await scratchFolder();
afterAll(() => folder.remove());
const programs = await locatePrograms();
const at = (name: string): string => join(folder.path, name);

const telemetry = [
  '1\n00:00:00,000 --> 00:00:00,500\niso: 100 shutter: 1/50 aperture: 2.8\n',
  '2\n00:00:00,500 --> 00:00:01,000\niso: 100 shutter: 1/100 aperture: 2.8\n',
  '3\n00:00:01,000 --> 00:00:02,000\niso: 200 shutter: 1/100 aperture: 2.8\n',
].join('\n');

// Written by hand after the XMP specification, part 1.
const xmp = (exposure: string): string =>
  `<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">` +
  `<rdf:Description rdf:about="" xmlns:exif="http://ns.adobe.com/exif/1.0/" exif:ExposureTime="${exposure}"/>` +
  `</rdf:RDF></x:xmpmeta>`;

let read: ReadonlyMap<string, Awaited<ReturnType<typeof readRecording>>>;
beforeAll(async () => {
  await makeMedia(...testPicture('25', 2), '-c:v', 'libx264', '-pix_fmt', 'yuv420p', at('PLAIN.MP4'));
  await writeFile(at('telemetry.txt'), telemetry);
  const withText = ['-i', at('PLAIN.MP4'), '-f', 'srt', '-i', at('telemetry.txt'), '-c', 'copy'];
  await makeMedia(...withText, '-c:s', 'mov_text', at('TEXT.MP4'));
  await makeMedia(...withText, '-c:s', 'srt', at('KTEXT.MKV'));
  const unlike = Buffer.from('\0\0\0\x0cfreeside', 'latin1');
  await writeFile(at('SIDECAR.MP4'), Buffer.concat([await readFile(at('PLAIN.MP4')), unlike]));
  await writeFile(at('sidecar.SRT'), telemetry);
  await writeFile(at('SIDECAR.XMP'), xmp('1/400'));
  await makeMedia('-i', at('PLAIN.MP4'), '-c', 'copy', '-movflags', '+faststart', at('FAST.MP4'));
  const whole = await readFile(at('PLAIN.MP4'));
  await writeFile(at('CUT.MP4'), whole.subarray(0, whole.length / 2));
  const fast = await readFile(at('FAST.MP4'));
  await writeFile(at('CUTFAST.MP4'), fast.subarray(0, fast.length - 1000));
  await makeMedia('-i', at('PLAIN.MP4'), '-c', 'copy', at('WHOLE.MKV'));
  await writeFile(at('CUTK.MKV'), (await readFile(at('WHOLE.MKV'))).subarray(0, 3000));
  await makeMedia('-f', 'lavfi', '-i', 'sine=duration=0.5', at('SOUND.MP4'));
  const packet = Buffer.from(xmp('1/800'));
  const head = Buffer.alloc(8);
  head.writeUInt32BE(8 + 16 + packet.length);
  head.write('uuid', 4, 'latin1');
  const userType = Buffer.from('be7acfcb97a942e89c71999491e3afac', 'hex');
  await writeFile(at('XMP.MP4'), Buffer.concat([whole, head, userType, packet]));
  await makeMedia(...testPicture('25', 0.04, '64x64'), '-frames:v', '1', at('STILL.JPG'));
  const withData = (entryType: string, bytes: Buffer): Buffer =>
    withMetadataTrack(whole, {
      entryType,
      entryBoxes: [],
      ticksPerSecond: 25,
      endSeconds: 2,
      samples: [{ startSeconds: 0, bytes }],
    });
  await writeFile(at('DATA.MP4'), withData('abcd', Buffer.alloc(9)));
  await writeFile(at('LONG.MP4'), withData('gpmd', Buffer.alloc(1_100_000)));
  await writeFile(at('MOVED.MP4'), withData('camm', Buffer.from('0000030000000000', 'hex')));
  await writeFile(at('TALK.MP4'), Buffer.concat([whole, unlike, unlike]));
  await writeFile(at('TALK.SRT'), '1\n00:00:00,000 --> 00:00:01,000\nGood morning.\n');
  const { entries } = await readDump(folder.path);
  const all = entries.map(async (entry) => [entry.path, await readRecording(entry, programs)] as const);
  read = new Map(await Promise.all(all));
}, 60_000);

const recordingOf = (name: string) => read.get(name)?.recording;

test.each(['TEXT.MP4', 'KTEXT.MKV', 'SIDECAR.MP4'])('telemetry over time is read from %s', (name) => {
  const recording = recordingOf(name);
  expect(recording?.track?.samples).toEqual([
    { startSeconds: 0, endSeconds: 0.5, iso: 100, exposureSeconds: 1 / 50, fNumber: 2.8 },
    { startSeconds: 0.5, endSeconds: 1, iso: 100, exposureSeconds: 1 / 100, fNumber: 2.8 },
    { startSeconds: 1, endSeconds: 2, iso: 200, exposureSeconds: 1 / 100, fNumber: 2.8 },
  ]);
  expect(recording?.facts.exposureSeconds?.value).toBe(1 / 100);
  expect(recording?.facts.iso?.value).toBe(100);
});

test('the source names the file, and what disagrees with it is kept', () => {
  const recording = recordingOf('SIDECAR.MP4');
  expect(recording?.facts.exposureSeconds).toEqual({
    value: 1 / 100,
    source: 'SubRip sidecar sidecar.SRT, median of 3 samples',
    others: [{ value: 1 / 400, source: expect.stringContaining('SIDECAR.XMP') as string }],
  });
  expect(recording?.sidecars.toSorted()).toEqual(['SIDECAR.XMP', 'sidecar.SRT']);
});

test('XMP inside a clip is read', () => {
  expect(recordingOf('XMP.MP4')?.facts.exposureSeconds?.value).toBe(1 / 800);
});

test('a clip without any exposure has none', () => {
  const facts = recordingOf('PLAIN.MP4')?.facts;
  expect(facts?.frameRate?.value).toEqual({ numerator: 25, denominator: 1 });
  expect(facts).not.toMatchObject({ exposureSeconds: expect.anything() });
  expect(read.get('PLAIN.MP4')).not.toMatchObject({ problem: expect.anything() });
});

test.each([
  ['DATA.MP4', ['a data track (abcd)']],
  ['LONG.MP4', ['parts of a data track (gpmd)']],
  ['TALK.MP4', ['a sidecar']],
  ['MOVED.MP4', undefined],
  ['PLAIN.MP4', undefined],
  ['TEXT.MP4', undefined],
  ['SIDECAR.MP4', undefined],
])('what of %s could not be read is said: %j', (name, unread) => {
  expect(recordingOf(name)?.unreadTracks).toEqual(unread);
});

test('a still is read', () => {
  expect(recordingOf('STILL.JPG')).toMatchObject({ kind: 'still', facts: { width: { value: 64 } } });
});

test('a clip whose index is missing is a problem and no recording', () => {
  const { recording, problem } = read.get('CUT.MP4')!;
  expect(recording).toBeUndefined();
  expect(problem?.message).toMatch(/^was cut off: its index is missing/);
  expect(problem?.hint).toMatch(/camera/);
});

test.each([
  ['CUTFAST.MP4', /^1000 bytes are missing/],
  ['CUTK.MKV', /^\d+ bytes are missing/],
])('%s is read as far as it goes, and said to be cut off', (name, detail) => {
  const { recording, problem } = read.get(name)!;
  expect(recording?.facts.width?.value).toBe(320);
  expect(problem?.message).toBe('was cut off: its end is missing');
  expect(problem?.detail).toMatch(detail);
});

test('a clip without a picture is a problem', () => {
  expect(read.get('SOUND.MP4')).toEqual({
    problem: expect.objectContaining({ message: 'holds no moving picture' }),
  });
});

test('a file that went away since the walk is a problem', async () => {
  const entry = {
    path: 'GONE.MP4',
    file: Buffer.from(at('GONE.MP4')),
    kind: 'clip',
    sizeBytes: 1,
    sidecars: [],
  } as const;
  expect(await readRecording(entry, programs)).toMatchObject({
    problem: { path: 'GONE.MP4', message: 'was there when the folder was read and is gone now' },
  });
});

// Scripted programs in place of ffprobe: what a hanging, crashing or talkative one does must not depend on luck.
test.each([
  ['kill -SEGV $$', /made ffprobe stop with a fault/],
  ['yes | head -c 20000000', /claims more tracks, keys or samples/],
  ['echo "{"', /could not be read as a video/],
  ['echo "strange things" >&2; exit 1', /^could not be read as a video$/, 'ffprobe: strange things'],
])('an ffprobe that does %j leads to a sentence', async (body, sentence, detail?: string) => {
  const path = at(`scripted-${Buffer.from(body).toString('hex').slice(0, 12)}`);
  await writeFile(path, `#!/bin/sh\n${body}\n`);
  await chmod(path, 0o755);
  const entry = {
    path: 'PLAIN.MP4',
    file: Buffer.from(at('PLAIN.MP4')),
    kind: 'clip',
    sizeBytes: 1,
    sidecars: [],
  } as const;
  const result = await readRecording(entry, { ...programs, ffprobe: { ...programs.ffprobe, path } });
  expect(result.problem?.message).toMatch(sentence);
  expect(result.problem?.detail).toBe(detail);
});
