import { displayText } from '../../domain/displayText.ts';
import type { Mp4Track } from '../containers/mp4Tracks.ts';
import type { Probed, ProbedStream } from '../ffprobe.ts';

// A clip with a data track of a kind that is not read here may well have its exposure recorded. It must not be told that
// none was.

// ISO/IEC 14496-12 and the MP4 registration authority: pictures, sound, texts, timecode, hints, MPEG-4 systems.
const otherHandlers = new Set(
  'vide auxv pict soun text sbtl subt subp clcp tmcd hint odsm sdsm ocsm crsm m7sm mjsm ipsm'.split(' '),
);
// What is read in timedCarriers.ts, timecode, texts, and HDR metadata (Rec. ITU-T T.35), which holds nothing else.
const readEntries = new Set('camm mebx gpmd tmcd wvtt stpp tx3g it35'.split(' '));

/** Whether a track of an MP4 or MOV holds data that nothing here can read. */
export function isUnread({ handler, entryType }: Mp4Track): boolean {
  return !otherHandlers.has(handler) && !readEntries.has(entryType);
}

/** A name for people, with its article: "a data track (abcd)". */
export function dataTrack({ entryType }: Pick<Mp4Track, 'entryType'>): string {
  return `a data track (${displayText(entryType.trim())})`;
}

// As the program names them: positions, which are read, timecode, and what broadcasters and discs add.
const otherCodecs = new Set(['klv', 'timed_id3', 'scte_35', 'epg', 'dvd_nav_packet']);
const otherTags = new Set(['tmcd', 'text']);

/** The data streams of other containers that nothing here can read. */
export function unreadStreams({ streams }: Probed): string[] {
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
