import { execFile } from 'node:child_process';
import { chmodSync, mkdtempSync, readFileSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { ExifTool } from 'exiftool-vendored';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { buildCarriers } from '../../sample-media-generator/carriers/build.ts';
import type { CarrierTruth, ExposureSample } from '../../sample-media-generator/carriers/truth.ts';

// The truth is checked by readers that share nothing with the generator: exiftool, and ffprobe of the system or of
// the optional package.

let folder = '';
let truths: readonly CarrierTruth[] = [];
let exiftool: ExifTool;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'carriers-'));
  truths = await buildCarriers(folder);
  exiftool = new ExifTool({ maxProcs: 1 });
});

afterAll(async () => {
  await exiftool.end();
  rmSync(folder, { recursive: true });
});

function truthOf(file: string): CarrierTruth {
  const truth = truths.find((each) => each.file === file);
  if (truth === undefined) throw new Error(`no clip ${file} was made`);
  return truth;
}

/** The samples' values of one fact. */
function valuesOf(file: string, fact: keyof ExposureSample): readonly (number | undefined)[] {
  return truthOf(file).samples.map((sample) => sample[fact]);
}

/** Every occurrence of a tag in the order of time, with numbers as they are. */
async function timed(file: string, tag: string): Promise<readonly unknown[]> {
  const found = await exiftool.readRaw(join(folder, file), {
    readArgs: ['-ee', '-G3', '-n', '-a', `-${tag}`],
  });
  return Object.entries(found)
    .map(([key, value]) => ({
      document: Number(/^Doc(\d+):/.exec(key)?.[1] ?? NaN),
      value: value as unknown,
    }))
    .filter(({ document }) => !Number.isNaN(document))
    .toSorted((a, b) => a.document - b.document)
    .map(({ value }) => value);
}

interface Probed {
  readonly streams: readonly (Readonly<Record<string, string>> & {
    readonly tags: Readonly<Record<string, string>>;
  })[];
  readonly format: { readonly tags: Readonly<Record<string, string>> };
  readonly packets: readonly { readonly pts_time: string; readonly duration_time: string }[];
  readonly frames: readonly { readonly tags: Readonly<Record<string, string>> }[];
}

const run = promisify(execFile);

async function ffprobe(file: string, ...options: readonly string[]): Promise<Probed> {
  const path = `file:${join(folder, file)}`;
  const all = ['-v', 'error', ...options, '-of', 'json', path];
  const { stdout } = await run('ffprobe', all).catch(async (error: NodeJS.ErrnoException) => {
    if (error.code !== 'ENOENT') throw error;
    const installer = await import('@ffprobe-installer/ffprobe');
    // Its install script does this, which npm may have been told to leave out.
    chmodSync(installer.default.path, 0o755);
    // A static build that crashes on transport streams unless it is kept from the system's converters.
    return run(installer.default.path, all, { env: { ...process.env, GCONV_PATH: '/nonexistent' } });
  });
  return JSON.parse(stdout) as Probed;
}

test('every clip decodes to as many frames as its truth says', async () => {
  const counted = await Promise.all(
    truths.map(async ({ file }) => {
      const { streams } = await ffprobe(file, '-count_packets', '-select_streams', 'v', '-show_streams');
      return { file, frames: Number(streams[0]?.['nb_read_packets']) };
    }),
  );
  expect(counted).toEqual(truths.map(({ file, frames }) => ({ file, frames })));
});

test('truth.json holds what was returned, and nothing else was left behind but sidecars', () => {
  expect(JSON.parse(readFileSync(join(folder, 'truth.json'), 'utf8'))).toEqual(truths);
  const expected = [...truths.map(({ file }) => file), 'TEXT0004.SRT', 'XMPU0004.XMP', 'truth.json'];
  expect(readdirSync(folder).toSorted()).toEqual(expected.toSorted());
});

describe('timed carriers', () => {
  test('CAMM: exposure and skew of every frame, position of every second', async () => {
    const exposures = await timed('CAMM0001.MP4', 'PixelExposureTime');
    // Stored in whole nanoseconds.
    valuesOf('CAMM0001.MP4', 'exposureSeconds').forEach((seconds, at) =>
      expect(exposures[at]).toBeCloseTo(seconds!, 9),
    );
    expect(exposures).toHaveLength(48);
    expect(await timed('CAMM0001.MP4', 'RollingShutterSkewTime')).toEqual(
      valuesOf('CAMM0001.MP4', 'rollingShutterSkewSeconds'),
    );
    expect(await timed('CAMM0001.MP4', 'GPSLatitude')).toEqual(
      valuesOf('CAMM0001.MP4', 'latitude').filter((value) => value !== undefined),
    );
    expect(await timed('CAMM0001.MP4', 'GPSLongitude')).toEqual(
      valuesOf('CAMM0001.MP4', 'longitude').filter((value) => value !== undefined),
    );
  });

  test('mebx: numbers of four types, one row a frame', async () => {
    const tag = (name: string) => timed('MEBX0001.MOV', `MdtaorgAeroformCamera${name}`);
    expect(await tag('ExposureTime')).toEqual(valuesOf('MEBX0001.MOV', 'exposureSeconds'));
    expect(await tag('Iso')).toEqual(valuesOf('MEBX0001.MOV', 'iso'));
    // Stored as float32, which keeps seven digits.
    const fNumbers = (await tag('FNumber')).map((value) => Number(Number(value).toPrecision(7)));
    expect(fNumbers).toEqual(valuesOf('MEBX0001.MOV', 'fNumber'));
  });

  test('mebx: words, one row each half second', async () => {
    const tag = (name: string) => timed('MEBX0002.MOV', `MdtaorgAeroformCamera${name}`);
    expect(await tag('ShutterSpeed')).toEqual(['1/200', '1/250', '1/320', '1/400']);
    expect(await tag('Aperture')).toEqual(
      valuesOf('MEBX0002.MOV', 'fNumber').map((fNumber) => `f/${fNumber}`),
    );
  });

  test('mebx: whole nanoseconds', async () => {
    const nanoseconds = await timed('MEBX0003.MOV', 'MdtaorgAeroformCameraExposureTimeNanoseconds');
    const seconds = valuesOf('MEBX0003.MOV', 'exposureSeconds');
    expect(nanoseconds.map((value) => Number(value) / 1e9)).toEqual(seconds);
  });

  test.each(['TEXT0001.MP4', 'TEXT0002.MOV'])(
    'text track of %s: the words and their exposure',
    async (file) => {
      // ffmpeg ends the track with an empty cue.
      const cues = (await timed(file, 'Text')).filter((cue) => cue !== '');
      const shutters = cues.map((cue) => 1 / Number(/1\/(\d+) s/.exec(String(cue))?.[1]));
      expect(shutters).toEqual(valuesOf(file, 'exposureSeconds'));
    },
  );

  test('SubRip track in Matroska: nothing from 1 s to 1.5 s', async () => {
    const entries = 'packet=pts_time,duration_time';
    const { packets } = await ffprobe('TEXT0003.MKV', '-select_streams', 's:0', '-show_entries', entries);
    const spans = truthOf('TEXT0003.MKV').samples.map(({ startSeconds, endSeconds }) => [
      startSeconds,
      endSeconds,
    ]);
    expect(
      packets.map((each) => [Number(each.pts_time), Number(each.pts_time) + Number(each.duration_time)]),
    ).toEqual(spans);
  });

  test.each(['MJPG0001.AVI', 'MJPG0002.MOV', 'MJPG0003.MKV'])(
    '%s: an Exif block in every frame',
    async (file) => {
      const { frames } = await ffprobe(file, '-show_entries', 'frame_tags');
      const ratio = (words = '') =>
        words
          .split(':')
          .map(Number)
          .reduce((a, b) => a / b);
      expect(frames.map(({ tags }) => ratio(tags['ExposureTime']))).toEqual(
        valuesOf(file, 'exposureSeconds'),
      );
      expect(frames.map(({ tags }) => ratio(tags['FNumber']))).toEqual(valuesOf(file, 'fNumber'));
      expect(frames.map(({ tags }) => Number(tags['ISOSpeedRatings']))).toEqual(valuesOf(file, 'iso'));
    },
  );

  test('KLV: a set each half second, beside the frame of its time', async () => {
    const data = await ffprobe('MISB0001.TS', '-select_streams', 'd:0', '-show_packets', '-show_streams');
    const video = await ffprobe('MISB0001.TS', '-select_streams', 'v', '-show_packets');
    expect(data.streams[0]?.['codec_name']).toBe('klv');
    const first = Number(video.packets[0]?.pts_time);
    const starts = data.packets.map(({ pts_time }) => Math.round((Number(pts_time) - first) * 1e3) / 1e3);
    expect(starts).toEqual(valuesOf('MISB0001.TS', 'startSeconds'));
  });
});

// RDD 18 has no reader among the development dependencies: MediaInfo 23.04 showed every value of both files as the
// truth has them, but for the gain, which it takes for unsigned.
test('RDD 18: the sets take the place of filling and the file stays whole', async () => {
  for (const file of ['ACQM0001.MXF', 'ACQM0002.MXF']) {
    const { streams } = await ffprobe(file, '-count_frames', '-show_streams');
    expect(Number(streams[0]?.['nb_read_frames'])).toBe(48);
    const bytes = readFileSync(join(folder, file));
    const camera = Buffer.from('060E2B34025301010C02010102010000', 'hex');
    let sets = 0;
    for (let at = bytes.indexOf(camera); at >= 0; at = bytes.indexOf(camera, at + 1)) sets++;
    expect(sets).toBe(48);
  }
});

describe('carriers of the whole clip', () => {
  test.each(['XMPU0001.MP4', 'XMPU0002.MOV', 'XMPU0004.XMP'])('XMP of %s', async (file) => {
    const found = await exiftool.readRaw(join(folder, file), { readArgs: ['-n', '-G1', '-XMP:all'] });
    const { clip } = truthOf(file.replace('.XMP', '.MP4'));
    expect(found).toMatchObject({ 'XMP-exif:FNumber': clip.fNumber, 'XMP-exif:ISO': clip.iso });
    expect(found).toMatchObject({ 'XMP-xmp:Rating': clip.rating, 'XMP-exif:GPSLatitude': clip.latitude });
    expect(Number((found as Record<string, unknown>)['XMP-exif:ExposureTime'])).toBeCloseTo(
      clip.exposureSeconds!,
      9,
    );
  });

  test('XMP attached to Matroska is listed with its type', async () => {
    const { streams } = await ffprobe('XMPU0003.MKV', '-show_streams');
    expect(streams[1]?.tags).toMatchObject({ filename: 'exposure.xmp', mimetype: 'application/rdf+xml' });
  });

  test('Matroska SimpleTags', async () => {
    const { format } = await ffprobe('MKVT0001.MKV', '-show_format');
    expect(format.tags).toMatchObject({ EXPOSURETIME: '1/240', FNUMBER: '2.8', ISO: '100' });
  });

  test.each(['KEYS0001.MOV', 'KEYS0002.MP4', 'SLOW0001.MP4', 'LAPS0001.MP4'])(
    'capture rate of %s',
    async (file) => {
      const { format, streams } = await ffprobe(file, '-show_format', '-show_streams');
      const { captureFramesPerSecond, playbackFramesPerSecond = 24 } = truthOf(file).clip;
      expect(Number(format.tags['com.android.capture.fps'])).toBe(captureFramesPerSecond);
      expect(streams[0]?.['avg_frame_rate']).toBe(`${playbackFramesPerSecond}/1`);
    },
  );

  test('QuickTime keys hold exposure, place and time', async () => {
    const args = ['-n', '-G1', '-Keys:all'];
    const raw = await exiftool.readRaw(join(folder, 'KEYS0001.MOV'), { readArgs: args });
    const found = raw as Record<string, unknown>;
    const { latitude, longitude, altitudeMetres } = truthOf('KEYS0001.MOV').clip;
    expect(found['Keys:GPSCoordinates']).toBe(`${latitude} ${longitude} ${altitudeMetres}`);
    expect(found['Keys:CreationDate']).toBe('2025:05:06 07:08:09+02:00');
    expect(found['Keys:OrgAeroformCameraExposure-time']).toBe('1/240');
  });

  test('location in user data', async () => {
    const { format } = await ffprobe('LOCN0001.MP4', '-show_format');
    expect(format.tags['location']).toMatch(/^-47\.2063-126\.7125\+93\.5/);
  });

  test.each(['TMCD0001.MOV', 'TMCD0002.MP4'])('start timecode of %s', async (file) => {
    const { streams } = await ffprobe(file, '-show_streams');
    expect(streams[0]?.tags['timecode']).toBe(truthOf(file).clip.startTimecode);
  });
});

test('RATE0001.MP4 changes from 30 to 12 frames a second after a second', async () => {
  const { packets } = await ffprobe('RATE0001.MP4', '-show_packets');
  const times = packets.map(({ pts_time }) => Number(pts_time));
  const gaps = times.slice(1).map((time, at) => Math.round(1 / (time - times[at]!)));
  expect([...new Set(gaps)]).toEqual([30, 12]);
});

test('the same bytes come out every time', async () => {
  const again = mkdtempSync(join(tmpdir(), 'carriers-'));
  try {
    await buildCarriers(again);
    for (const file of readdirSync(folder)) {
      expect({
        file,
        same: readFileSync(join(again, file)).equals(readFileSync(join(folder, file))),
      }).toEqual({
        file,
        same: true,
      });
    }
  } finally {
    rmSync(again, { recursive: true });
  }
});
