import { framesPerSecond } from '../../domain/frameRate.ts';
import type { OpenMedia } from '../../programs/openMedia.ts';
import type { Program } from '../../programs/program.ts';
import { clipContext, firstValue } from '../clipContext.ts';
import type { ByteSource } from '../containers/byteSource.ts';
import type { IsoBox } from '../containers/isoBoxes.ts';
import { mp4Samples } from '../containers/mp4Samples.ts';
import { mp4Tracks } from '../containers/mp4Tracks.ts';
import type { Mp4Track } from '../containers/mp4Tracks.ts';
import { isMxf } from '../containers/mxfPackets.ts';
import { pictureStream } from '../ffprobeJson.ts';
import type { Probed } from '../ffprobeJson.ts';
import type { Reading } from '../sighting.ts';
import type { TelemetryContext } from '../telemetryPairs.ts';
import { parseCamm } from './camm.ts';
import { mebxKeys, parseMebx } from './mebx.ts';
import { sampleBytes } from './metadataSamples.ts';
import { readMotionJpeg } from './motionJpeg.ts';
import { readFramePlaces, readPackets } from './packetPlaces.ts';
import { parsePositionSets } from './positionSets.ts';
import { parseRdd18 } from './rdd18.ts';

export interface TimedClip {
  readonly media: OpenMedia;
  readonly source: ByteSource;
  /** The index of an MP4 or MOV. */
  readonly moov: IsoBox | undefined;
  readonly probed: Probed;
  /** What the container states of the clip. */
  readonly stated: Reading;
}

/** Reads what a clip carries over time, apart from text tracks. Only the tables and the samples themselves are read. */
export async function readTimedCarriers(clip: TimedClip, ffprobe: Program): Promise<Reading[]> {
  const tracks = clip.moov === undefined ? [] : mp4Tracks(clip.source, clip.moov);
  const numbered = tracks.map((track, at) => ({ track, label: labelOf(clip, track, at + 1) }));
  return [
    ...numbered
      .filter(({ label }) => label !== undefined)
      .slice(0, maxMetadataTracks)
      .map(({ track, label }) => metadataTrack(clip, track, label!)),
    ...acquisition(clip),
    ...(await positions(clip, ffprobe)),
    ...(await motionJpeg(clip, tracks, ffprobe)),
  ];
}

function context(clip: TimedClip, source: string): TelemetryContext {
  return { ...clipContext([clip.stated]), source };
}

const maxEntryBytes = 65_536;
// One for the lens and one for the way is plenty.
const maxMetadataTracks = 4;

function entryOf({ source }: TimedClip, { entryBody: { start, end } }: Mp4Track): Buffer {
  return source.read(start, Math.min(maxEntryBytes, end - start));
}

/** What to call a track that can hold facts; undefined for all others. */
function labelOf(clip: TimedClip, track: Mp4Track, number: number): string | undefined {
  if (track.entryType === 'camm') return `camera motion metadata in track ${number}`;
  const isKnown = track.entryType === 'mebx' && mebxKeys(entryOf(clip, track)).size > 0;
  return isKnown ? `timed metadata in track ${number}` : undefined;
}

function metadataTrack(clip: TimedClip, track: Mp4Track, label: string): Reading {
  const { samples, stoppedBecause } = mp4Samples(clip.source, track);
  const bytes = sampleBytes(clip.source, samples);
  const reading =
    track.entryType === 'mebx'
      ? parseMebx(entryOf(clip, track), bytes, context(clip, label))
      : parseCamm(bytes, context(clip, label));
  if (stoppedBecause === undefined) return reading;
  const reason = `was read in part: ${stoppedBecause}`;
  const refusal = { what: 'telemetry', raw: label, source: label, reason };
  return { ...reading, refusals: [...reading.refusals, refusal] };
}

function acquisition(clip: TimedClip): Reading[] {
  if (!isMxf(clip.source)) return [];
  const rate = firstValue([clip.stated], 'playbackFrameRate');
  const playbackFramesPerSecond = rate === undefined ? undefined : framesPerSecond(rate);
  return [parseRdd18(clip.source, { ...context(clip, 'SMPTE RDD 18 sets'), playbackFramesPerSecond })];
}

async function positions(clip: TimedClip, ffprobe: Program): Promise<Reading[]> {
  const stream = clip.probed.streams?.find((one) => one.codec_type === 'data' && one.codec_name === 'klv');
  if (stream === undefined) return [];
  const packets = await readPackets(clip, ffprobe, stream.index);
  return [parsePositionSets(packets, context(clip, 'MISB ST 0601 sets'))];
}

async function motionJpeg(
  clip: TimedClip,
  tracks: readonly Mp4Track[],
  ffprobe: Program,
): Promise<Reading[]> {
  if (pictureStream(clip.probed)?.codec_name !== 'mjpeg') return [];
  const track = tracks.find(({ handler }) => handler === 'vide');
  const frames =
    track === undefined ? await readFramePlaces(clip, ffprobe) : mp4Samples(clip.source, track).samples;
  return [await readMotionJpeg(clip.source, frames, context(clip, 'EXIF of each frame'))];
}
