import type { Refusal } from '../../domain/recording.ts';
import { sighting, type Reading } from '../sighting.ts';

/** A time that a receiver knew, and where in the clip; seconds count from the first frame. */
export interface Moment {
  readonly clipSeconds: number;
  readonly utcMilliseconds: number;
}

// Receivers hand over a time up to a second late, and a first fix may be corrected by as much.
const slackSeconds = 3;
const slackFraction = 0.02;
// A damaged edit list can claim any time.
const longestClipSeconds = 86_400;

/**
 * When the first frame was taken, in UTC and whole seconds: the first moment less its place in the clip. Where the clip
 * does not play at the speed of life (a time lapse, slow motion), a place in it says nothing of the time before.
 */
export function firstMoment(moments: readonly Moment[], source: string): Reading {
  const first = moments.find(({ clipSeconds }) => Math.abs(clipSeconds) <= longestClipSeconds);
  const last = moments.at(-1);
  if (first === undefined || last === undefined) return { sightings: [], refusals: [] };
  const clipSeconds = last.clipSeconds - first.clipSeconds;
  const realSeconds = (last.utcMilliseconds - first.utcMilliseconds) / 1000;
  const slack = slackSeconds + slackFraction * clipSeconds;
  if (Math.abs(first.clipSeconds) > slackSeconds && Math.abs(realSeconds - clipSeconds) > slack) {
    return { sightings: [], refusals: [otherSpeed(first, source)] };
  }
  const seconds = Math.round(first.utcMilliseconds / 1000 - first.clipSeconds);
  const recordedAt = new Date(seconds * 1000).toISOString().replace('.000Z', 'Z');
  const how =
    first.clipSeconds < 1
      ? 'GPS time'
      : `GPS time of the first fix, less the ${first.clipSeconds.toFixed(1)} s of the clip before it`;
  return {
    sightings: [sighting('recordedAt', recordedAt, 'timed-track', `${source}, ${how}`)],
    refusals: [],
  };
}

function otherSpeed({ clipSeconds, utcMilliseconds }: Moment, source: string): Refusal {
  return {
    what: 'recordedAt',
    raw: `${new Date(utcMilliseconds).toISOString()} at ${clipSeconds.toFixed(1)} s`,
    source,
    reason: 'runs at another speed than the clip, so it does not tell when the clip began',
  };
}
