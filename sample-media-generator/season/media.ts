import { execFile } from 'node:child_process';
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { promisify } from 'node:util';
import type { ExifTool, WriteTags } from 'exiftool-vendored';
import sharp from 'sharp';
import { EXACT, KEY_FRAMES, REC709_FRAMES, X264 } from '../encode.ts';
import { scene, stillCurve, videoCurve } from '../planted/picture.ts';
import type { SeasonRecording } from './recordings.ts';
import { CAMERA } from './world.ts';

const run = promisify(execFile);

const CLIP = { width: 320, height: 180 };
const STILL = { width: 240, height: 160 };
/** Room for the pan. */
const WIDE = { width: CLIP.width + 200, height: CLIP.height };
const SECONDS = 1.2;
const PAN_PIXELS_PER_FRAME = 3;

export interface Workshop {
  readonly ffmpeg: string;
  readonly exiftool: ExifTool;
  readonly card: string;
  /** For pictures that only the encoder reads. */
  readonly scratch: string;
}

export async function makeRecording(recording: SeasonRecording, workshop: Workshop): Promise<void> {
  await (recording.kind === 'clip' ? makeClip(recording, workshop) : makeStill(recording, workshop));
}

async function makeClip(clip: SeasonRecording, { ffmpeg, card, scratch }: Workshop): Promise<void> {
  const wide = join(scratch, `${clip.atMs}.png`);
  await sharp(scene(WIDE, clip.meteredOffsetStops, videoCurve), { raw: { ...WIDE, channels: 3 } })
    .png()
    .toFile(wide);
  await run(ffmpeg, ['-v', 'error', '-nostdin', '-y', ...clipArguments(clip, wide), join(card, clip.file)]);
  await writeFile(join(card, clip.file.replace('.MP4', '.SRT')), subRip(clip));
}

function clipArguments({ framesPerSecond, recordedAt }: SeasonRecording, wide: string): readonly string[] {
  const pan = `crop=${CLIP.width}:${CLIP.height}:x='mod(n*${PAN_PIXELS_PER_FRAME}\\,200)':y=0`;
  const coding =
    `${[...X264, ...KEY_FRAMES].join(' ')} -preset veryfast -crf 16 -threads 1 ` +
    '-color_primaries bt709 -color_trc bt709 -colorspace bt709 -color_range tv';
  return [
    '-loop',
    '1',
    '-framerate',
    String(framesPerSecond),
    '-i',
    wide,
    '-filter_complex',
    `[0:v]${pan},scale=out_color_matrix=bt709:out_range=tv,format=yuv420p,${REC709_FRAMES}[v]`,
    '-map',
    '[v]',
    '-frames:v',
    String(Math.round(SECONDS * framesPerSecond)),
    ...coding.split(' '),
    ...EXACT,
    '-movflags',
    'use_metadata_tags',
    '-metadata',
    `make=${CAMERA.make}`,
    '-metadata',
    `model=${CAMERA.model}`,
    '-metadata',
    `creation_time=${recordedAt}`,
  ];
}

const CUES_PER_SECOND = 5;

/** Telemetry in words, as flight recorders write it beside a clip. */
function subRip(clip: SeasonRecording): string {
  const words =
    `shutter: ${clip.exposure} iso: ${CAMERA.iso} f-number: ${CAMERA.fNumber} ` +
    `exposure offset: ${clip.meteredOffsetStops.toFixed(1)} latitude: ${clip.latitude.toFixed(5)} ` +
    `longitude: ${clip.longitude.toFixed(5)} heading: ${clip.headingDegrees}`;
  return Array.from(
    { length: Math.round(SECONDS * CUES_PER_SECOND) },
    (_, cue) => `${cue + 1}\n${clock(cue)} --> ${clock(cue + 1)}\n${words}\n`,
  ).join('\n');
}

function clock(cue: number): string {
  return new Date((1000 * cue) / CUES_PER_SECOND).toISOString().slice(11, 23).replace('.', ',');
}

async function makeStill(still: SeasonRecording, { exiftool, card }: Workshop): Promise<void> {
  const file = join(card, still.file);
  await sharp(scene(STILL, still.meteredOffsetStops, stillCurve), { raw: { ...STILL, channels: 3 } })
    .jpeg({ quality: 92, chromaSubsampling: '4:4:4' })
    .toFile(file);
  await exiftool.write(file, stillTags(still) as WriteTags, { writeArgs: ['-overwrite_original'] });
}

/** The tags of a still, in the names of exiftool. */
function stillTags(still: SeasonRecording): Record<string, string | number> {
  const { recordedAt, latitude, longitude } = still;
  return {
    'EXIF:Make': CAMERA.make,
    'EXIF:Model': CAMERA.model,
    'EXIF:ExposureTime': still.exposure,
    'EXIF:FNumber': CAMERA.fNumber,
    'EXIF:ISO': CAMERA.iso,
    'EXIF:ExposureCompensation': 0,
    'EXIF:DateTimeOriginal': recordedAt.slice(0, 19).replaceAll('-', ':').replace('T', ' '),
    'EXIF:OffsetTimeOriginal': recordedAt.slice(19),
    'EXIF:GPSLatitude': Math.abs(latitude),
    'EXIF:GPSLatitudeRef': latitude < 0 ? 'S' : 'N',
    'EXIF:GPSLongitude': Math.abs(longitude),
    'EXIF:GPSLongitudeRef': longitude < 0 ? 'W' : 'E',
    'EXIF:GPSImgDirection': still.headingDegrees,
    'EXIF:GPSImgDirectionRef': 'T',
  };
}
