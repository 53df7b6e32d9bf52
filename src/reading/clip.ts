import type { OpenMedia } from '../programs/openMedia.ts';
import type { Program } from '../programs/program.ts';
import { clipContext } from './clipContext.ts';
import { noPicture, overloaded, readInPart, unreadable } from './clipTrouble.ts';
import { fileSource } from './containers/byteSource.ts';
import type { ByteSource } from './containers/byteSource.ts';
import { matroskaContents } from './containers/matroska.ts';
import { mp4Contents, mp4Keys } from './containers/mp4.ts';
import type { Mp4Contents } from './containers/mp4.ts';
import { missingEnd } from './containers/missingEnd.ts';
import type { FirstFrames } from './fields.ts';
import { parseFfprobe, readFfprobe, readFirstFrames } from './ffprobe.ts';
import { pictureStream, textStreams } from './ffprobeJson.ts';
import type { Probed, ProbedStream } from './ffprobeJson.ts';
import { frameTiming } from './frameTiming.ts';
import { tickSeconds } from './rateFacts.ts';
import { mayHoldMore } from './sighting.ts';
import type { FactSighting, OwnReadings, Reading } from './sighting.ts';
import { readTextTrack } from './textTracks.ts';
import { readTimedCarriers } from './timed/timedCarriers.ts';

export interface Programs {
  readonly ffprobe: Program;
  readonly ffmpeg: Program;
}

/** Everything that a clip says of itself, and what is wrong with it. */
export async function readClip(media: OpenMedia, programs: Programs): Promise<OwnReadings> {
  const source = fileSource(media);
  const boxes = mp4Contents(source);
  if (boxes?.isOverloaded === true) return { readings: [], problem: overloaded };
  const result = await readFfprobe(media, programs.ffprobe);
  if (result.probed === undefined) return { readings: [], problem: unreadable(result, boxes) };
  const probed = withKeys(result.probed, source, boxes);
  const picture = pictureStream(probed);
  if (picture === undefined) return { readings: [], problem: noPicture };
  const first = await readFirstFrames(media, programs.ffprobe, probed);
  const stated = parseFfprobe(probed, first);
  const clip = { media, source, moov: boxes?.moov, probed, stated };
  const timed = await readTimedCarriers(clip, programs.ffprobe);
  const problem = readInPart(result, boxes?.missingBytes ?? missingEnd(source));
  return {
    readings: [
      withoutPlaybackRate(stated, timed),
      ...timing(picture, first),
      ...(await embeddedXmp(source, boxes)),
      ...timed,
      ...(await textTracks(media, programs.ffmpeg, probed, stated)),
    ],
    problem,
  };
}

/** Of decoded pictures some are missing without fault, as those before the first key frame: their gaps prove nothing. */
function timing(picture: ProbedStream, first: FirstFrames | undefined): Reading[] {
  if (first === undefined || first.areInFields !== undefined) return [];
  return [frameTiming(first.timesSeconds, tickSeconds(picture))];
}

/** The metadata keys of the movie that ffprobe does not show, as if it did. */
function withKeys(probed: Probed, source: ByteSource, boxes: Mp4Contents | undefined): Probed {
  const keys = boxes?.moov === undefined ? new Map<string, string>() : mp4Keys(source, boxes.moov);
  if (keys.size === 0) return probed;
  const tags = { ...Object.fromEntries(keys), ...probed.format?.tags };
  return { ...probed, format: { ...probed.format, tags } };
}

/** Where telemetry holds the capture rate, that of the stream is only the speed of playback. */
function withoutPlaybackRate(stated: Reading, timed: readonly Reading[]): Reading {
  const known = timed.some(({ sightings }) => sightings.some(({ fact }) => fact === 'frameRate'));
  if (!known) return stated;
  const isPlayback = ({ fact, carrier }: FactSighting): boolean =>
    fact === 'frameRate' && carrier === 'stream';
  return { ...stated, sightings: stated.sightings.filter((one) => !isPlayback(one)) };
}

// More text tracks than this are languages, not telemetry.
const maxTextTracks = 4;

async function textTracks(
  media: OpenMedia,
  ffmpeg: Program,
  probed: Probed,
  stated: Reading,
): Promise<Reading[]> {
  const readings: Reading[] = [];
  for (const track of textStreams(probed).slice(0, maxTextTracks)) {
    const reading = await readTextTrack(media, ffmpeg, track, clipContext([stated]));
    readings.push(mayHoldMore(reading) ? { ...reading, unreadTrack: 'a text track' } : reading);
  }
  return readings;
}

async function embeddedXmp(source: ByteSource, boxes: Mp4Contents | undefined): Promise<Reading[]> {
  const carried = boxes ?? matroskaContents(source);
  if (carried === undefined) return [];
  const [packet] = carried.xmp;
  const refused: Reading = {
    sightings: [],
    refusals: carried.refusals,
    unreadTrack: carried.refusals.length === 0 ? undefined : 'an XMP packet',
  };
  if (packet === undefined) return [refused];
  const { parseXmp } = await import('./xmp.ts');
  const { sightings, refusals, writtenBy } = parseXmp(packet, { carrier: 'xmp-embedded', label: 'XMP' });
  return [refused, { sightings, refusals, writtenBy }];
}
