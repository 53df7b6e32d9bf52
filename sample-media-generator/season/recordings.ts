import { filterOf, type Advice, type FilterLabel } from './fitting.ts';
import { isOnTarget } from './onTarget.ts';
import { OFFSET, PLACES, type FlightPlan, type Leg } from './plan.ts';
import {
  chanceOf,
  clipSettings,
  localMs,
  stillSettings,
  TRUE_STOPS,
  usualScene,
  type Settings,
} from './world.ts';

/** One clip or still of the season, with what is true of it. */
export interface SeasonRecording extends Settings {
  readonly kind: 'clip' | 'still';
  /** Below the folder of the card. */
  readonly file: string;
  readonly atMs: number;
  /** UTC for a clip, as containers hold it; local time with its offset for a still. */
  readonly recordedAt: string;
  readonly latitude: number;
  readonly longitude: number;
  readonly headingDegrees: number;
  readonly elevationDegrees: number;
  readonly framesPerSecond: number;
  readonly sceneEv: number;
  readonly fitted: FilterLabel;
  /** What the pilot writes down. */
  readonly noted: FilterLabel;
  /** Of a clip: whether shutter and exposure came out right. */
  readonly onTarget?: boolean;
}

const secondsApart = 75;

/**
 * The recordings of one flight, in the order in which they were made. Advice decides what is on the lens, and so what
 * the camera sets; the light is the same whatever was advised.
 */
export function recordingsOf(plan: FlightPlan, seed: number, advice: Advice): readonly SeasonRecording[] {
  const chance = chanceOf(seed);
  let number = 100 * seed;
  return plan.legs.flatMap((leg) => {
    const kinds = [
      ...Array<'clip'>(leg.clips).fill('clip'),
      ...Array<'still'>(leg.stills ?? 0).fill('still'),
    ];
    return kinds.map((kind, at) => {
      const brighter = chance.day + chance.recording();
      number += 1;
      const seconds = 60 * leg.minute + secondsApart * at;
      return recordingOf({ plan, leg, advice, kind, number, seconds, brighter });
    });
  });
}

function recordingOf(given: {
  readonly plan: FlightPlan;
  readonly leg: Leg;
  readonly advice: Advice;
  readonly kind: 'clip' | 'still';
  readonly number: number;
  readonly seconds: number;
  readonly brighter: number;
}): SeasonRecording {
  const { plan, leg, advice, kind, number, seconds, brighter } = given;
  const fitted = filterOf(leg.fitted, advice);
  const atMs = localMs(plan.startsAt) + 1000 * seconds;
  const { elevationDegrees, headingDegrees, sceneEv } = usualScene({ ...plan, ...leg, atMs });
  const sensorEv = sceneEv + brighter - TRUE_STOPS[fitted];
  const { framesPerSecond } = leg;
  const settings = kind === 'clip' ? clipSettings(sensorEv, framesPerSecond) : stillSettings(sensorEv);
  const digits = String(number).padStart(4, '0');
  const { latitude, longitude } = PLACES[plan.place]!;
  return {
    kind,
    file: `DCIM/100_AERO/${kind === 'clip' ? `CLIP${digits}.MP4` : `AERO${digits}.JPG`}`,
    atMs,
    recordedAt: kind === 'clip' ? new Date(atMs).toISOString().replace('.000', '') : withOffset(atMs),
    latitude: rounded(latitude + 0.0003 * (number % 100)),
    longitude: rounded(longitude - 0.0004 * (number % 100)),
    headingDegrees,
    elevationDegrees,
    framesPerSecond,
    sceneEv: sceneEv + brighter,
    fitted,
    noted: filterOf(leg.noted ?? leg.fitted, advice),
    ...settings,
    ...(kind === 'clip' && { onTarget: isOnTarget(settings, framesPerSecond) }),
  };
}

function withOffset(atMs: number): string {
  const local = new Date(atMs + Number.parseInt(OFFSET) * 3_600_000);
  return local.toISOString().replace('.000Z', OFFSET);
}

function rounded(degrees: number): number {
  return Number(degrees.toFixed(5));
}
