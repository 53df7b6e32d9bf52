import { execFile } from 'node:child_process';
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { promisify } from 'node:util';
import sharp from 'sharp';
import { EXACT, KEY_FRAMES, REC709_FRAMES, X264 } from '../encode.ts';
import { rational, toNumber } from '../rational.ts';
import { coverPng, patchPng, raster, scene, stillCurve, videoCurve } from './picture.ts';
import type { PlantedClip, PlantedStill } from './plan.ts';

const run = promisify(execFile);

const CLIP = { width: 320, height: 180 };
const STILL = { width: 240, height: 160 };
/** Room for the pan. */
const WIDE = { width: CLIP.width + 320, height: CLIP.height };

export interface Workshop {
  readonly ffmpeg: string;
  readonly card: string;
  /** For pictures that only the encoder reads. */
  readonly scratch: string;
}

export async function makeClip(clip: PlantedClip, { ffmpeg, card, scratch }: Workshop): Promise<void> {
  const name = clip.file.slice(clip.file.lastIndexOf('/') + 1, -4);
  const wide = join(scratch, `${name}.png`);
  await sharp(scene(WIDE, clip.levelStops, videoCurve), { raw: { ...WIDE, channels: 3 } })
    .png()
    .toFile(wide);
  const patch = clip.patch && join(scratch, `${name}-patch.png`);
  if (clip.patch && patch) await writeFile(patch, await patchPng(clip.patch, CLIP));
  const cover = clip.cover && join(scratch, `${name}-cover.png`);
  if (clip.cover && cover) await writeFile(cover, await coverPng(clip.cover, CLIP));
  await run(ffmpeg, [
    '-v',
    'error',
    '-nostdin',
    '-y',
    ...clipArguments(clip, { wide, laid: patch ?? cover }),
    join(card, clip.file),
  ]);
  const beside = join(card, clip.file.slice(0, -4));
  if (clip.exposure !== undefined) await writeFile(`${beside}.SRT`, subRip(clip));
  if (clip.contradiction !== undefined) await writeFile(`${beside}.XMP`, xmp(clip.contradiction));
}

function clipArguments(clip: PlantedClip, pictures: { wide: string; laid: string | undefined }): string[] {
  const { rate, seconds, patch, captureRate, leaveOutEvery, recordedAt } = clip;
  const frames = Math.round(seconds * toNumber(rational(rate)));
  const pan = `crop=${CLIP.width}:${CLIP.height}:x='mod(n*${clip.panPixelsPerFrame}\\,320)':y=0`;
  const shown =
    patch?.startSeconds === undefined
      ? ''
      : `:enable='between(t\\,${patch.startSeconds}\\,${patch.endSeconds})'`;
  const fade = clip.fadeInSeconds === undefined ? '' : `,fade=t=in:st=0:d=${clip.fadeInSeconds}`;
  const leave = leaveOutEvery === undefined ? '' : `,select='mod(n\\,${leaveOutEvery})'`;
  const coded = `scale=out_color_matrix=bt709:out_range=tv,format=yuv420p${fade},${REC709_FRAMES}${leave}`;
  const graph =
    pictures.laid === undefined
      ? `[0:v]${pan},${coded}[v]`
      : `[0:v]${pan}[s];[1:v]format=rgba[p];[s][p]overlay=0:0:format=gbrp${shown},${coded}[v]`;
  const kept = leaveOutEvery === undefined ? frames : frames - Math.ceil(frames / leaveOutEvery);
  const looped = (picture: string) => ['-loop', '1', '-framerate', rate, '-i', picture];
  const coding =
    `${[...X264, ...KEY_FRAMES].join(' ')} -preset veryfast -crf 14 -threads 1 ` +
    '-color_primaries bt709 -color_trc bt709 -colorspace bt709 -color_range tv';
  const captured =
    captureRate === undefined
      ? []
      : ['-movflags', 'use_metadata_tags', '-metadata', `com.android.capture.fps=${captureRate}`];
  return [
    ...looped(pictures.wide),
    ...(pictures.laid === undefined ? [] : looped(pictures.laid)),
    '-filter_complex',
    graph,
    '-map',
    '[v]',
    '-frames:v',
    String(kept),
    ...(leaveOutEvery === undefined ? [] : ['-vsync', 'vfr']),
    ...coding.split(' '),
    ...EXACT,
    ...captured,
    '-metadata',
    `creation_time=${recordedAt}`,
  ];
}

const CUES_PER_SECOND = 5;

/** Telemetry in words, as flight recorders write it beside a clip. */
function subRip(clip: PlantedClip): string {
  const cues = Math.round(clip.seconds * CUES_PER_SECOND);
  return Array.from({ length: cues }, (_, cue) => {
    const meter =
      clip.meteredOffsetStops === undefined ? '' : ` exposure offset: ${clip.meteredOffsetStops.toFixed(1)}`;
    const words = `shutter: ${exposureAt(clip, cue / Math.max(1, cues - 1))} iso: ${clip.iso} f-number: ${clip.fNumber}${meter}`;
    return `${cue + 1}\n${clock(cue / CUES_PER_SECOND)} --> ${clock((cue + 1) / CUES_PER_SECOND)}\n${words}\n`;
  }).join('\n');
}

function exposureAt({ exposure = '', exposureAtEnd }: PlantedClip, share: number): string {
  if (exposureAtEnd === undefined) return exposure;
  const [from, to] = [toNumber(rational(exposure)), toNumber(rational(exposureAtEnd))];
  return `1/${(1 / (from * (to / from) ** share)).toFixed(1)}`;
}

function clock(seconds: number): string {
  return new Date(Math.round(seconds * 1000)).toISOString().slice(11, 23).replace('.', ',');
}

function xmp(exposure: string): string {
  return `<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description rdf:about="" xmlns:exif="http://ns.adobe.com/exif/1.0/" exif:ExposureTime="${exposure}"/></rdf:RDF></x:xmpmeta>\n`;
}

export async function makeStill(still: PlantedStill, { card }: Workshop): Promise<void> {
  if (still.isRaster === true) return makeRaster(join(card, still.file));
  const picture = sharp(scene(STILL, still.levelStops, stillCurve), { raw: { ...STILL, channels: 3 } });
  const layers = [
    ...(still.patch ? [await patchPng(still.patch, STILL)] : []),
    ...(still.cover ? [await coverPng(still.cover, STILL)] : []),
  ];
  const laid = picture.composite(layers.map((input) => ({ input })));
  const flight = flightXmp(still);
  const jpeg = laid.jpeg({ quality: 92, chromaSubsampling: '4:4:4' });
  await (flight === undefined ? jpeg : jpeg.withXmp(flight)).toFile(join(card, still.file));
}

/** What an aircraft writes of its height and of where its camera looks. */
function flightXmp({ heightMetres, pitchDegrees }: PlantedStill): string | undefined {
  if (heightMetres === undefined || pitchDegrees === undefined) return undefined;
  return `<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description rdf:about="" xmlns:flight="http://example.org/flight/1.0/" flight:RelativeAltitude="+${heightMetres.toFixed(2)}" flight:GimbalPitchDegree="${pitchDegrees.toFixed(2)}"/></rdf:RDF></x:xmpmeta>`;
}

async function makeRaster(file: string): Promise<void> {
  await sharp(raster(STILL), { raw: { ...STILL, channels: 1 } })
    .toColourspace('grey16')
    .tiff({ compression: 'none' })
    .toFile(file);
}

/** The tags of a still, in the names of exiftool. */
export function stillTags(still: PlantedStill): Record<string, string | number> {
  const { latitude, longitude, headingDegrees, equivalentFocalLengthMm, isManual } = still;
  return {
    'EXIF:Make': 'Aeroform',
    'EXIF:Model': 'A1',
    'EXIF:ExposureTime': still.exposure,
    'EXIF:FNumber': still.fNumber,
    'EXIF:ISO': still.iso,
    'EXIF:ExposureCompensation': still.biasStops,
    'EXIF:DateTimeOriginal': still.recordedAt.slice(0, 19).replaceAll('-', ':').replace('T', ' '),
    'EXIF:SubSecTimeOriginal': still.recordedAt.slice(20, 23),
    'EXIF:OffsetTimeOriginal': 'Z',
    ...(latitude === undefined || longitude === undefined
      ? {}
      : {
          'EXIF:GPSLatitude': Math.abs(latitude),
          'EXIF:GPSLatitudeRef': 'S',
          'EXIF:GPSLongitude': Math.abs(longitude),
          'EXIF:GPSLongitudeRef': 'W',
        }),
    ...(headingDegrees === undefined
      ? {}
      : { 'EXIF:GPSImgDirection': headingDegrees, 'EXIF:GPSImgDirectionRef': 'T' }),
    ...(equivalentFocalLengthMm === undefined
      ? {}
      : { 'EXIF:FocalLengthIn35mmFormat': equivalentFocalLengthMm }),
    ...(isManual === true ? { 'EXIF:ExposureProgram': 'Manual' } : {}),
  };
}
