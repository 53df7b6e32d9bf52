import type { Recording, Refusal, Track } from '../domain/recording.ts';
import { withClipZone } from './clipZone.ts';
import { compareText } from './compareText.ts';
import { mergeFacts } from './mergeFacts.ts';
import type { FactSighting, Reading } from './sighting.ts';

/** Puts readings of one recording together. Their order makes no difference. */
export function mergeReadings(
  readings: readonly Reading[],
): Pick<Recording, 'facts' | 'track' | 'refusals' | 'unreadTracks'> {
  const tracks = readings.map(({ track }) => track).filter((track) => track !== undefined);
  const track = tracks.sort(compareTracks)[0];
  const sightings = readings.flatMap((reading) =>
    track !== undefined && reading.track === track ? reading.sightings.map(ofChosenTrack) : reading.sightings,
  );
  const zoned = withClipZone(sightings);
  return {
    facts: mergeFacts(zoned.sightings),
    track,
    refusals: [...readings.flatMap(({ refusals }) => refusals), ...zoned.refusals].sort(compareRefusals),
    ...unread(readings),
  };
}

function unread(readings: readonly Reading[]): Pick<Recording, 'unreadTracks'> {
  const names = new Set(readings.flatMap(({ unreadTrack }) => unreadTrack ?? []));
  return names.size === 0 ? {} : { unreadTracks: [...names].sort(compareText) };
}

function ofChosenTrack(one: FactSighting): FactSighting {
  return { ...one, ofChosenTrack: true };
}

/** The track that tells most about the exposure stands first. */
function compareTracks(a: Track, b: Track): number {
  const exposed = ({ samples }: Track): number =>
    samples.filter(({ exposureSeconds }) => exposureSeconds !== undefined).length;
  return exposed(b) - exposed(a) || b.samples.length - a.samples.length || compareText(a.source, b.source);
}

function compareRefusals(a: Refusal, b: Refusal): number {
  const key = ({ source, what, raw, reason }: Refusal): string => [source, what, raw, reason].join('\0');
  return compareText(key(a), key(b));
}
