import { displayText } from '../../domain/displayText.ts';
import { framesPerSecond } from '../../domain/frameRate.ts';
import type { OpenMedia } from '../../programs/openMedia.ts';
import type { Program } from '../../programs/run.ts';
import type { ByteSource } from '../../containers/byteSource.ts';
import { childBoxes, firstOfType, type IsoBox } from '../../containers/isoBoxes.ts';
import { mp4Samples, mp4Tracks, type Mp4Track, type SamplePlace } from '../../containers/mp4Tracks.ts';
import { isMxf } from '../../containers/mxf.ts';
import { pictureStream, readFramePlaces, readPackets, type Probed, type ProbedStream } from '../ffprobe.ts';
import { sightedValue, type Reading } from '../sighting.ts';
import { clipContext, type TelemetryContext } from '../telemetryPairs.ts';
import { parseCamm } from './camm.ts';
import { parseGpmd } from './gpmd.ts';
import { mebxKeys, parseMebx } from './mebx.ts';
import { maxFrames, readMotionJpeg } from './motionJpeg.ts';
import { parseRdd18 } from './rdd18.ts';
import { parseSt0601 } from './st0601.ts';
import type { TimedBytes } from './trackReading.ts';

interface TimedClip {
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

/** One row of numbers needs some hundred bytes; what is longer is not that. */
const rowBounds = { sampleBytes: 65_536, trackBytes: 64 << 20 };
/** All sensors for a second, of which turning alone can be 100,000 bytes; two hours of that. */
const payloadBounds: typeof rowBounds = { sampleBytes: 1 << 20, trackBytes: 768 << 20 };

interface TrackKind {
  readonly name: string;
  readonly bounds: typeof rowBounds;
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
  ['gpmd', { name: 'telemetry (gpmd)', bounds: payloadBounds, tells: () => true, read: parseGpmd }],
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

interface SampleBounds {
  readonly sampleBytes: number;
  readonly trackBytes: number;
}

/** Reads sample after sample by its place; samples that are empty, cut off or far too long are passed over. */
export function* sampleBytes(
  source: ByteSource,
  samples: readonly SamplePlace[],
  bounds: SampleBounds,
): Generator<TimedBytes> {
  let left = bounds.trackBytes;
  for (const { startSeconds, endSeconds, offset, sizeBytes } of samples) {
    if (sizeBytes === 0 || sizeBytes > bounds.sampleBytes) continue;
    left -= sizeBytes;
    if (left < 0) return;
    const bytes = source.read(offset, sizeBytes);
    if (bytes.length === sizeBytes) yield { startSeconds, endSeconds, bytes };
  }
}

function leftOutBecause(
  source: ByteSource,
  samples: readonly SamplePlace[],
  bounds: SampleBounds,
): string | undefined {
  const outside = samples.filter(({ offset, sizeBytes }) => offset + sizeBytes > source.sizeBytes).length;
  if (outside > 0) return `${outside} of ${samples.length} samples lie beyond the end of the file`;
  const long = samples.filter(({ sizeBytes }) => sizeBytes > bounds.sampleBytes).length;
  if (long > 0) return `${long} of ${samples.length} samples are longer than ${bounds.sampleBytes} bytes`;
  const bytes = samples.reduce((sum, { sizeBytes }) => sum + sizeBytes, 0);
  return bytes > bounds.trackBytes ? `it is longer than ${bounds.trackBytes} bytes` : undefined;
}

function acquisition(clip: TimedClip): Reading[] {
  if (!isMxf(clip.source)) return [];
  const rate = sightedValue(clip.stated.sightings, 'playbackFrameRate');
  const playbackFramesPerSecond = rate === undefined ? undefined : framesPerSecond(rate);
  return [parseRdd18(clip.source, { ...context(clip, 'SMPTE RDD 18 sets'), playbackFramesPerSecond })];
}

async function positions(clip: TimedClip, ffprobe: Program): Promise<Reading[]> {
  const stream = clip.probed.streams?.find(
    ({ codec_type: kind, codec_name: codec }) => kind === 'data' && codec === 'klv',
  );
  if (stream === undefined) return [];
  const packets = await readPackets(clip, ffprobe, stream.index);
  return [parseSt0601(packets, context(clip, 'MISB ST 0601 sets'))];
}

async function motionJpeg(
  clip: TimedClip,
  tracks: readonly Mp4Track[],
  ffprobe: Program,
): Promise<Reading[]> {
  if (pictureStream(clip.probed)?.codec_name !== 'mjpeg') return [];
  const track = tracks.find(({ handler }) => handler === 'vide');
  const frames =
    track === undefined
      ? await readFramePlaces(clip, ffprobe, maxFrames + 1)
      : mp4Samples(clip.source, track).samples;
  return [await readMotionJpeg(clip.source, frames, context(clip, 'EXIF of each frame'))];
}

// A clip with a data track of a kind that is not read here may well have its exposure recorded. It must not be told that
// none was.

// ISO/IEC 14496-12 and the MP4 registration authority: pictures, sound, texts, timecode, hints, MPEG-4 systems.
const otherHandlers = new Set(
  'vide auxv pict soun text sbtl subt subp clcp tmcd hint odsm sdsm ocsm crsm m7sm mjsm ipsm'.split(' '),
);
// Timecode, texts, and HDR metadata (Rec. ITU-T T.35), which holds nothing else.
const otherEntries = new Set('tmcd wvtt stpp tx3g it35'.split(' '));

function isUnread({ handler, entryType }: Mp4Track): boolean {
  return !otherHandlers.has(handler) && !trackKinds.has(entryType) && !otherEntries.has(entryType);
}

/** A name for people, with its article: "a data track (abcd)". */
function dataTrack({ entryType }: Pick<Mp4Track, 'entryType'>): string {
  return `a data track (${displayText(entryType.trim())})`;
}

// As the program names them: positions, which are read, timecode, and what broadcasters and discs add.
const otherCodecs = new Set(['klv', 'timed_id3', 'scte_35', 'epg', 'dvd_nav_packet']);
const otherTags = new Set(['tmcd', 'text']);

function unreadStreams({ streams }: Probed): string[] {
  return (streams ?? [])
    .filter((stream) => stream.codec_type === 'data')
    .filter(
      ({ codec_name: codec, codec_tag_string: tag }) =>
        !otherCodecs.has(codec ?? '') && !otherTags.has(tag ?? ''),
    )
    .map((stream) => dataTrack({ entryType: streamName(stream) }));
}

function streamName({ index, codec_name: codec, codec_tag_string: tag }: ProbedStream): string {
  if (tag !== undefined && /^[\w -]{4}$/.test(tag)) return tag;
  return codec === undefined || codec === 'unknown' || codec === 'bin_data' ? `stream ${index}` : codec;
}
