import { framesPerSecond } from '../../domain/frameRate.ts';
import type { OpenMedia } from '../../programs/openMedia.ts';
import type { Program } from '../../programs/program.ts';
import { clipContext } from '../clipContext.ts';
import type { ByteSource } from '../containers/byteSource.ts';
import { childBoxes, firstOfType } from '../containers/isoBoxes.ts';
import type { IsoBox } from '../containers/isoBoxes.ts';
import { mp4Samples } from '../containers/mp4Samples.ts';
import { mp4Tracks } from '../containers/mp4Tracks.ts';
import type { Mp4Track } from '../containers/mp4Tracks.ts';
import { isMxf } from '../containers/mxfPackets.ts';
import { pictureStream, type Probed } from '../ffprobe.ts';

import { sightedValue, type Reading } from '../sighting.ts';
import type { TelemetryContext } from '../telemetryPairs.ts';
import { parseCamm } from './camm.ts';
import { parseKeyedTelemetry } from './keyedTelemetry.ts';
import { mebxKeys, parseMebx } from './mebx.ts';
import { leftOutBecause, payloadBounds, rowBounds, sampleBytes } from './metadataSamples.ts';
import type { SampleBounds, TimedBytes } from './metadataSamples.ts';
import { readMotionJpeg } from './motionJpeg.ts';
import { readFramePlaces, readPackets } from './packetPlaces.ts';
import { parsePositionSets } from './positionSets.ts';
import { parseRdd18 } from './rdd18.ts';
import { dataTrack, isUnread, unreadStreams } from './unreadTracks.ts';

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
  const readable = tracks.flatMap((track, at) => {
    const kind = trackKinds.get(track.entryType);
    return kind?.tells(entryOf(clip, track)) === true ? [{ track, kind, number: at + 1 }] : [];
  });
  const unread =
    clip.moov === undefined ? unreadStreams(clip.probed) : tracks.filter(isUnread).map(dataTrack);
  return [
    ...readable
      .slice(0, maxMetadataTracks)
      .map(({ track, kind, number }) => metadataTrack(clip, track, kind, number)),
    ...unread.map((unreadTrack) => ({ sightings: [], refusals: [], unreadTrack })),
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

interface TrackKind {
  readonly name: string;
  readonly bounds: SampleBounds;
  /** Whether a track with this sample entry can hold facts. */
  readonly tells: (entry: Buffer) => boolean;
  readonly read: (samples: Iterable<TimedBytes>, context: TelemetryContext, entry: Buffer) => Reading;
}

/** By the type of the sample entry. */
const trackKinds: ReadonlyMap<string, TrackKind> = new Map<string, TrackKind>([
  ['camm', { name: 'camera motion metadata', bounds: rowBounds, tells: () => true, read: parseCamm }],
  [
    'mebx',
    {
      name: 'timed metadata',
      bounds: rowBounds,
      tells: (entry) => mebxKeys(entry).size > 0,
      read: (samples, about, entry) => parseMebx(entry, samples, about),
    },
  ],
  ['gpmd', { name: 'telemetry (gpmd)', bounds: payloadBounds, tells: () => true, read: parseKeyedTelemetry }],
]);

function metadataTrack(clip: TimedClip, track: Mp4Track, kind: TrackKind, number: number): Reading {
  const label = `${kind.name} in track ${number}`;
  const { samples, stoppedBecause } = mp4Samples(clip.source, track);
  const bytes = sampleBytes(clip.source, samples, kind.bounds);
  const reading = kind.read(bytes, context(clip, label), entryOf(clip, track));
  const because =
    stoppedBecause ?? leftOutBecause(clip.source, samples, kind.bounds) ?? fragments(clip, samples);
  if (because === undefined) return reading;
  const refusal = { what: 'telemetry', raw: label, source: label, reason: `was read in part: ${because}` };
  return {
    ...reading,
    refusals: [...reading.refusals, refusal],
    unreadTrack: `parts of ${dataTrack(track)}`,
  };
}

function fragments({ source, moov }: TimedClip, samples: readonly unknown[]): string | undefined {
  const isFragmented = firstOfType(childBoxes(source, moov), 'mvex') !== undefined;
  return isFragmented && samples.length === 0 ? 'its samples lie in fragments' : undefined;
}

function acquisition(clip: TimedClip): Reading[] {
  if (!isMxf(clip.source)) return [];
  const rate = sightedValue(clip.stated.sightings, 'playbackFrameRate');
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
