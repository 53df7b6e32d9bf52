import { existsSync } from 'node:fs';
import { readFile, writeFile } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { framesPerSecond } from '../../src/domain/frameRate.ts';
import type { FactName, FactValues } from '../../src/domain/recording.ts';
import { locateAll, locatePrograms } from '../../src/programs/locate.ts';
import { openMedia } from '../../src/programs/openMedia.ts';
import type { Program } from '../../src/programs/run.ts';
import { statedFacts } from '../../src/reading/clip.ts';
import {
  parseFirstPictures,
  parseProbeJson,
  parseTimes,
  pictureStream,
  readFfprobe,
  readTimes,
} from '../../src/reading/ffprobe.ts';
import { readFirstFrames } from '../../src/reading/rateFacts.ts';
import type { Reading } from '../../src/reading/sighting.ts';
import { makeMedia, scratchFolder, testPicture } from './madeMedia.ts';

const folder = await scratchFolder();
afterAll(() => folder.remove());
const { ffprobe } = await locatePrograms();

async function readingOf(file: string, program: Program = ffprobe): Promise<Reading> {
  const media = await openMedia(file);
  try {
    const { probed, stderr } = await readFfprobe(media, program);
    if (probed === undefined) throw new Error(`not read: ${stderr}`);
    return statedFacts(probed, await readFirstFrames(media, program, probed));
  } finally {
    await media.close();
  }
}

function valueOf<N extends FactName>({ sightings }: Reading, fact: N): FactValues[N] | undefined {
  return sightings.find((one) => one.fact === fact)?.value as FactValues[N] | undefined;
}

async function made(name: string, ...args: string[]): Promise<string> {
  const file = join(folder.path, name);
  await makeMedia(...args, file);
  return file;
}

/**
 * Writes the display matrix of a clockwise turn into a copy of a clip of 320 x 180 (ISO/IEC 14496-12, 8.3.2): the
 * versions of ffmpeg disagree about how to ask for it.
 */
async function turnedCopy(flat: string, degrees: 90 | 270): Promise<string> {
  const bytes = await readFile(flat);
  const one = 1 << 16;
  const [b, x, y] = degrees === 90 ? [one, 180 * one, 0] : [-one, 0, 320 * one];
  const matrix = bytes.lastIndexOf('tkhd') + 4 + 40;
  [0, b, 0, -b, 0, 0, x, y, 1 << 30].forEach((value, i) => bytes.writeInt32BE(value, matrix + 4 * i));
  const turned = flat.replace('flat', 'turned');
  await writeFile(turned, bytes);
  return turned;
}

/** A reading of a stream as ffprobe describes it, with these fields set. */
function described(stream: object, format: object = {}): Reading {
  const all = { index: 0, codec_type: 'video', avg_frame_rate: '25/1', r_frame_rate: '25/1', ...stream };
  return statedFacts(parseProbeJson(JSON.stringify({ streams: [all], format }))!);
}

describe('made clips', () => {
  test('size, rate, length, coding and tags come back', async () => {
    const file = await made(
      'tags.mp4',
      ...testPicture('24000/1001', 2),
      '-vf',
      // From ffmpeg 7 on the frames say it, before that the options below.
      'setparams=color_trc=arib-std-b67:range=tv',
      '-c:v',
      'libx264',
      '-pix_fmt',
      'yuv420p10le',
      '-color_trc',
      'arib-std-b67',
      '-color_range',
      'tv',
      '-metadata',
      'creation_time=2026-05-14T09:00:00Z',
      '-metadata',
      'location=+47.5000-008.7000+450.000/',
      '-timecode',
      '01:02:03:04',
    );
    const reading = await readingOf(file);
    const facts = Object.fromEntries(reading.sightings.map(({ fact, value }) => [fact, value]));
    expect(facts).toMatchObject({
      width: 320,
      height: 180,
      frameRate: { numerator: 24000, denominator: 1001 },
      playbackFrameRate: { numerator: 24000, denominator: 1001 },
      frameCount: 48,
      durationSeconds: 2.002,
      codec: 'h264',
      bitDepth: 10,
      transfer: 'hlg',
      range: 'narrow',
      recordedAt: '2026-05-14T09:00:00Z',
      latitude: 47.5,
      longitude: -8.7,
      altitudeMetres: 450,
      startTimecode: '01:02:03:04',
    });
    expect(reading.refusals).toEqual([]);
  });

  test('a capture rate in the tags is the rate, and the stream has only the playback rate', async () => {
    const file = await made(
      'slow.mp4',
      ...testPicture('30', 1),
      '-pix_fmt',
      'yuvj420p',
      '-movflags',
      'use_metadata_tags',
      '-metadata',
      'com.android.capture.fps=240',
    );
    const reading = await readingOf(file);
    expect(valueOf(reading, 'frameRate')).toEqual({ numerator: 240, denominator: 1 });
    expect(valueOf(reading, 'playbackFrameRate')).toEqual({ numerator: 30, denominator: 1 });
    expect(valueOf(reading, 'range')).toBe('full');
  });

  test.each(['mkv', 'mov', 'ts', 'avi', 'mxf'])('the exact rate comes back from %s', async (ending) => {
    const codec = ending === 'mxf' ? 'mpeg2video' : 'mpeg4';
    const reading = await readingOf(
      await made(`rate.${ending}`, ...testPicture('30000/1001', 2), '-c:v', codec),
    );
    expect(valueOf(reading, 'frameRate')).toEqual({ numerator: 30000, denominator: 1001 });
  });

  // The truth is what the decoder shows: what stood at the left is at the top after a clockwise quarter turn.
  test.each([90, 270] as const)(
    'a picture that is turned (%s) is measured as it is shown',
    async (rotate) => {
      const whiteAtLeft =
        'color=black:size=320x180:rate=25:duration=0.2,drawbox=w=40:h=180:color=white:t=fill';
      const flat = await made(`flat${rotate}.mp4`, '-f', 'lavfi', '-i', whiteAtLeft, '-c:v', 'mpeg4');
      const turned = await turnedCopy(flat, rotate);
      const shown = await made(
        `shown${rotate}.gray`,
        '-i',
        turned,
        '-frames:v',
        '1',
        '-f',
        'rawvideo',
        '-pix_fmt',
        'gray',
      );
      const pixels = await readFile(shown);
      const whiteAtTop = pixels[90]! > 128;
      expect(whiteAtTop).not.toBe(pixels[pixels.length - 90]! > 128);
      const reading = await readingOf(turned);
      expect([valueOf(reading, 'width'), valueOf(reading, 'height')]).toEqual([180, 320]);
      expect(valueOf(reading, 'rotationDegrees')).toBe(whiteAtTop ? 90 : 270);
    },
  );

  test('frames that were dropped do not change the rate', async () => {
    const file = await made(
      'dropped.mp4',
      ...testPicture('50', 4, '64x64'),
      '-vf',
      "select='mod(n,7)'",
      '-vsync',
      'passthrough',
      '-c:v',
      'mpeg4',
    );
    expect(valueOf(await readingOf(file), 'frameRate')).toEqual({ numerator: 50, denominator: 1 });
  });

  test('the packaged ffprobe reads the same', async (context) => {
    const other = (await locateAll()).find(
      (one) => one.name === 'ffprobe' && !one.chosen && one.age !== undefined,
    );
    if (other?.path === undefined) return context.skip('there is only one ffprobe here');
    const program = { name: 'ffprobe', path: other.path, version: '', origin: other.origin } as const;
    // With a service name, whose character set made this build crash.
    const named = ['-metadata', 'service_name=Münster', '-c:v', 'mpeg4'];
    const file = await made('named.ts', ...testPicture('25', 1), ...named);
    expect(await readingOf(file, program)).toEqual(await readingOf(file));
  });
});

describe('what a stream says', () => {
  // Code points of ITU-T H.273, by FFmpeg's names.
  test.each([
    ['bt709', 'bt709'],
    ['smpte170m', 'bt709'],
    ['bt2020-10', 'bt709'],
    ['arib-std-b67', 'hlg'],
    ['smpte2084', 'pq'],
    ['iec61966-2-1', 'srgb'],
    ['linear', 'linear'],
    ['unknown', undefined],
    [undefined, undefined],
  ])('transfer %s is %s', (name, transfer) => {
    const reading = described({ color_transfer: name });
    expect(valueOf(reading, 'transfer')).toBe(transfer);
    expect(reading.refusals).toEqual([]);
  });

  test('a transfer that cannot be undone is refused', () => {
    const reading = described({ color_transfer: 'log316' });
    expect(valueOf(reading, 'transfer')).toBeUndefined();
    expect(reading.refusals).toMatchObject([{ what: 'transfer', raw: 'log316' }]);
  });

  test.each([
    ['yuv420p', 8],
    ['yuvj420p', 8],
    ['nv12', 8],
    ['rgb24', 8],
    ['yuv420p10le', 10],
    ['p010le', 10],
    ['yuv422p12le', 12],
    ['gray10le', 10],
    ['gbrp12le', 12],
    ['rgb48le', 16],
    ['yuva444p16le', 16],
  ])('pixel format %s has %d bits', (pix_fmt, bits) => {
    expect(valueOf(described({ pix_fmt }), 'bitDepth')).toBe(bits);
  });

  test.each([
    ['tv', 'narrow'],
    ['pc', 'full'],
    ['unknown', undefined],
  ])('range %s is %s', (color_range, range) => {
    expect(valueOf(described({ color_range, pix_fmt: 'yuv420p' }), 'range')).toBe(range);
  });

  // Matroska's statistics tags have these names; the numbers are of no file.
  test.each([
    [{ duration: '2.5', tags: { DURATION: '00:00:03' } }, 2.5, 'stream duration'],
    [{ duration: '0.000000', tags: { DURATION: '00:00:03.000000000' } }, 3, 'stream tag DURATION'],
    [{}, 4, 'container duration'],
  ])('the length of %j is said with where it stands', (stream, value, source) => {
    const [seen, ...others] = described(stream, { duration: '4' }).sightings.filter(
      ({ fact }) => fact === 'durationSeconds',
    );
    expect(seen).toMatchObject({ value, source });
    expect(others).toEqual([]);
  });

  test('so is the number of frames', () => {
    const { sightings } = described({ tags: { NUMBER_OF_FRAMES: '77' } });
    const source = 'stream tag NUMBER_OF_FRAMES';
    expect(sightings.find(({ fact }) => fact === 'frameCount')).toMatchObject({ value: 77, source });
  });

  // A live recorder's fragmented MP4: ffprobe makes 39 hours of it at 30,000 units a second.
  test('a length of all ones is none', () => {
    const { sightings } = described(
      { duration: '143165.576500', duration_ts: 4_294_967_295 },
      { duration: '143165.643233' },
    );
    expect(sightings.filter(({ fact }) => fact === 'durationSeconds')).toEqual([]);
  });

  // A damaged file of a stranger: looking into 408 years took longer than anyone waits.
  test('a length of more than a day is refused, and the next place is asked', () => {
    const { sightings, refusals } = described({ duration: '12893491822.592' }, { duration: '4' });
    expect(sightings.find(({ fact }) => fact === 'durationSeconds')).toMatchObject({ value: 4 });
    expect(refusals).toMatchObject([{ what: 'durationSeconds', source: 'stream duration' }]);
  });

  test('a cover picture is not the recording', () => {
    const cover = { index: 0, codec_type: 'video', width: 1, height: 1, disposition: { attached_pic: 1 } };
    expect(statedFacts(parseProbeJson(JSON.stringify({ streams: [cover] }))!).sightings).toEqual([]);
  });
});

test('a packet without a presentation time stands by its decoding time, one without either not at all', () => {
  expect(parseTimes('1.48,1.44\nN/A,1.52\nN/A,N/A\n\n')).toEqual([1.48, 1.52]);
});

test('pictures are read with their times, and are in fields where most of them are', () => {
  expect(parseFirstPictures('0.040000,1\n0.080000,1,\nN/A,0\n\n')).toEqual({
    timesSeconds: [0.04, 0.08],
    areInFields: true,
  });
  expect(parseFirstPictures('0.000000,0\n0.020000,0\n')?.areInFields).toBe(false);
  expect(parseFirstPictures('\n')).toBeUndefined();
});

test('the times of frames are those of its packets, also where the first is not 0', async () => {
  // A muxer of transport streams begins at 1.4 s.
  const file = join(folder.path, 'late.ts');
  await makeMedia(...testPicture('25', 1, '64x64'), '-c:v', 'mpeg4', file);
  const media = await openMedia(file);
  try {
    const { probed } = await readFfprobe(media, ffprobe);
    const times = await readTimes(media, ffprobe, pictureStream(probed!)!);
    expect(times).toHaveLength(25);
    expect(Math.min(...times)).toBeGreaterThan(1);
  } finally {
    await media.close();
  }
});

// As ffprobe describes streams whose every field is a packet; the second is what MP4 makes of the first.
describe('a stream in fields', () => {
  const inFields = { timesSeconds: [0.04, 0.08, 0.12, 0.16, 0.2], areInFields: true };
  const inTransportStream = {
    field_order: 'tt',
    avg_frame_rate: '25/1',
    r_frame_rate: '50/1',
    duration: '4',
  };
  const inMp4 = {
    codec_name: 'h264',
    field_order: 'unknown',
    avg_frame_rate: '50/1',
    r_frame_rate: '50/1',
    nb_frames: '200',
    duration: '4',
  };
  const said = (stream: object, first?: Parameters<typeof statedFacts>[1]) => {
    const all = { index: 0, codec_type: 'video', ...stream };
    return statedFacts(parseProbeJson(JSON.stringify({ streams: [all] }))!, first);
  };

  // 50/I and 60/I of Recommendation ITU-R BT.709-6: 25 and 30/1.001 frames of two fields.
  test('has half as many frames as fields, whether pictures could be decoded or not', () => {
    for (const first of [inFields, undefined]) {
      const reading = said(inTransportStream, first);
      expect(valueOf(reading, 'frameRate')).toEqual({ numerator: 25, denominator: 1 });
      expect(valueOf(reading, 'scan')).toBe('fields');
    }
    const american = { field_order: 'bb', avg_frame_rate: '60000/1001', r_frame_rate: '60000/1001' };
    expect(valueOf(said(american), 'playbackFrameRate')).toEqual({ numerator: 30000, denominator: 1001 });
  });

  test('is known by its pictures where the header is silent, and its frames are counted', () => {
    const reading = said(inMp4, inFields);
    expect(valueOf(reading, 'frameRate')).toEqual({ numerator: 25, denominator: 1 });
    expect(valueOf(reading, 'frameCount')).toBe(100);
    expect(valueOf(reading, 'scan')).toBe('fields');
    expect(valueOf(said(inMp4), 'frameRate')).toEqual({ numerator: 50, denominator: 1 });
  });

  test('is none where pictures come faster than in any system of fields', () => {
    const timesSeconds = [0, 0.02, 0.04, 0.06, 0.08];
    const reading = said({ ...inMp4, field_order: 'tt' }, { timesSeconds, areInFields: false });
    expect(valueOf(reading, 'frameRate')).toEqual({ numerator: 50, denominator: 1 });
    expect(valueOf(reading, 'frameCount')).toBe(200);
    expect(valueOf(reading, 'scan')).toBeUndefined();
    expect(reading.refusals).toMatchObject([{ what: 'scan' }]);
  });

  test('that is told in frames keeps its rate and number', () => {
    const reading = said({
      field_order: 'tb',
      avg_frame_rate: '25/1',
      r_frame_rate: '25/1',
      nb_frames: '100',
      duration: '4',
    });
    expect(valueOf(reading, 'frameRate')).toEqual({ numerator: 25, denominator: 1 });
    expect(valueOf(reading, 'frameCount')).toBe(100);
  });
});

describe('the curve of a picture', () => {
  const curveOf = (stream: object) => described(stream).sightings.find(({ fact }) => fact === 'transfer');

  test('is BT.709 by assumption where 8 bits carry no tag, and the source says so', () => {
    for (const color_transfer of [undefined, 'unknown']) {
      const curve = curveOf({ pix_fmt: 'yuv420p', color_transfer });
      expect(curve).toMatchObject({ value: 'bt709' });
      expect(curve?.source).toMatch(/^assumed .*BT\.709/);
    }
    expect(curveOf({ pix_fmt: 'yuv420p', color_transfer: 'bt709' })?.source).toBe('stream colour transfer');
  });

  test('is not assumed of 10 bits, of wide primaries, nor where another curve is named', () => {
    expect(curveOf({ pix_fmt: 'yuv420p10le' })).toBeUndefined();
    expect(curveOf({ pix_fmt: 'yuv420p', color_primaries: 'bt2020' })).toBeUndefined();
    expect(curveOf({ pix_fmt: 'yuv420p', color_transfer: 'log100' })).toBeUndefined();
  });
});

describe('what tags say', () => {
  test('a time with its zone is taken before one that claims to be UTC', () => {
    const tags = {
      creation_time: '2026-05-14T09:00:00.000000Z',
      'com.apple.quicktime.creationdate': '2026-05-14T11:00:00+0200',
    };
    expect(valueOf(described({}, { tags }), 'recordedAt')).toBe('2026-05-14T11:00:00+02:00');
  });

  test.each([
    [{ creation_time: '1904-01-01T00:00:00.000000Z' }, 'recordedAt'],
    [{ creation_time: '1970-01-01T00:00:00.000000Z' }, 'recordedAt'],
    [{ creation_time: '2026-13-45T00:00:00Z' }, 'recordedAt'],
    [{ creation_time: '2026-02-30T10:00:00Z' }, 'recordedAt'],
    [{ creation_time: '2026-05-14T24:00:00Z' }, 'recordedAt'],
    [{ creation_time: '2026-05-14T10:00:00+99:00' }, 'recordedAt'],
    [{ location: '+00.0000+000.0000/' }, 'latitude'],
    [{ location: 'somewhere' }, 'latitude'],
    [{ 'com.android.capture.fps': '0.000000' }, 'frameRate'],
    [{ 'com.android.capture.fps': '30000' }, 'frameRate'],
    [{ ISO: '0' }, 'iso'],
  ])('%j is refused', (tags, what) => {
    expect(described({}, { tags }).refusals).toMatchObject([{ what }]);
  });

  test('exposure in tags is read, in the spelling of any container', () => {
    const reading = described(
      {},
      { tags: { EXPOSURETIME: '1/50', 'org.example.camera.iso': '200', FNUMBER: '2.8' } },
    );
    expect(valueOf(reading, 'exposureSeconds')).toBe(1 / 50);
    expect(valueOf(reading, 'iso')).toBe(200);
    expect(valueOf(reading, 'fNumber')).toBe(2.8);
  });

  test.each([
    ['shutter_ns', '10000', 1e-5],
    ['shutter_us', '500', 5e-4],
    ['exposure_ns', '4000000', 1 / 250],
    ['org.example.camera.exposureTimeMs', '20', 0.02],
    ['exposure time', '0.004', 0.004],
    ['shutter_ns', '1/50 s', 0.02],
  ])('the tag %s with %j is an exposure time', (tag, value, seconds) => {
    const reading = described({ tags: { [tag]: value } });
    expect(valueOf(reading, 'exposureSeconds')).toBeCloseTo(seconds, 12);
    expect(reading.refusals).toEqual([]);
  });

  test.each([
    ['shutter_ns', '0'],
    ['shutter_ns', '-3'],
    ['shutter_ns', '9e99'],
  ])('the tag %s with %j is refused', (tag, value) => {
    expect(described({ tags: { [tag]: value } }).refusals).toMatchObject([{ what: 'exposureSeconds' }]);
  });

  test.each(['frame_delay_ns', 'duration_ns', 'ns', '_ns', 'shutter_count', 'constructor'])(
    'the tag %s says nothing of an exposure',
    (tag) => expect(valueOf(described({ tags: { [tag]: '1000' } }), 'exposureSeconds')).toBeUndefined(),
  );

  test('a high-speed clip has the rate that it recorded, above what other clips can have', () => {
    const rates = { r_frame_rate: '90000/1', avg_frame_rate: '0/0' };
    expect(valueOf(described(rates, { format_name: 'cine' }), 'frameRate')).toEqual({
      numerator: 90_000,
      denominator: 1,
    });
    expect(valueOf(described(rates, { format_name: 'matroska' }), 'frameRate')).toBeUndefined();
  });

  test('a tag cannot pass itself off as a stream', () => {
    const handler_name = 'h\navg_frame_rate=240/1\nwidth=99999\n[/STREAM]\n[STREAM]';
    expect(valueOf(described({ width: 64, height: 64, tags: { handler_name } }), 'width')).toBe(64);
  });

  test('the camera is named once where its model begins with its maker', () => {
    expect(valueOf(described({}, { tags: { make: 'Veldrin', model: 'Veldrin V2' } }), 'camera')).toBe(
      'Veldrin V2',
    );
    expect(valueOf(described({}, { tags: { make: 'Veldrin', model: 'V2\u001b' } }), 'camera')).toBe(
      'Veldrin V2\\x1b',
    );
  });
});

test.each(['', '{', '[]', '{"streams":[{"width":"x"}]}'])('parseProbeJson() does not read %j', (json) => {
  expect(parseProbeJson(json)).toBeUndefined();
});

const collection = resolve(import.meta.dirname, '../../../shared/real-media');
describe.skipIf(!existsSync(collection))(
  'clips that nobody here made (skipped where the collection is absent)',
  () => {
    // What a player shows, and what the tags say: read by hand from each file's packet times and tags.
    test.each([
      ['rate-says-1000.mkv', 30, 0.04],
      ['phone-vfr.mov', 24.25, 0.001],
      ['hlg-vfr-edit-list.mp4', 30000 / 1001, 0.01],
      ['slow-motion-a.mp4', 240, 0.01],
      ['portrait-4k60.mp4', 60, 0.01],
      ['250fps-source.mp4', 250, 0.01],
      ['vfr-89-percent.mp4', undefined, 0],
    ] as const)('the capture rate of %s is %s', async (name, rate, tolerance) => {
      const file = join(collection, name);
      const found = valueOf(await readingOf(file), 'frameRate');
      if (rate === undefined) expect(found).toBeUndefined();
      else expect(Math.abs(framesPerSecond(found!) - rate)).toBeLessThanOrEqual(tolerance);
    });
  },
);
