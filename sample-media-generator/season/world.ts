import { lightOf, type SkyName } from '../pilots/daylight.ts';
import { pictureEv, type Ground } from '../pilots/pilot.ts';
import { randomStream } from '../random.ts';
import type { FilterLabel } from './fitting.ts';
import { OFFSET, PLACES, type ComingFlight, type Facing } from './plan.ts';
import { sunOver } from './sun.ts';

/*
 * The light of the season and the camera in it. Pictures are those of the invented pilots: sky, what stands upright and
 * ground, by other rules than Halfturn starts from. On top this world has a bent of its own, which nobody in it knows.
 * Rejected: light on level ground with back light two stops darker (ANSI PH2.7, from memory). Of 82 outings of open
 * photographs, 9 toward the sun, it was 2.8 stops off there; the pilots' pictures are 0.2 off.
 */

/** Strengths as they are. All but one keep to their label within a tenth of a stop; ND32 is labelled 5 stops. */
export const TRUE_STOPS: Readonly<Record<FilterLabel, number>> = {
  none: 0,
  ND4: 2.05,
  ND8: 2.95,
  ND16: 4.08,
  ND32: 4.4,
  ND64: 6.06,
};
export const MISLABELLED = { label: 'ND32', labelStops: 5, trueStops: TRUE_STOPS.ND32 } as const;

export const CAMERA = { make: 'Aeroform', model: 'A1', fNumber: 2.8, iso: 100 } as const;

/** Of this camera's meter. */
const cameraStops = -0.5;
/** Dark water, bright sand and a reef, as the grounds of the invented pilots; over open sea little stands upright. */
const places: Readonly<Record<string, Ground>> = {
  'Long Shoal': { ground: 0.06, upright: 0.09, uprightShare: 0.2 },
  'Kettle Bank': { ground: 0.28, upright: 0.09, uprightShare: 0.2 },
  'Far Reef': { ground: 0.12, upright: 0.09, uprightShare: 0.2 },
};
/** What the sky leaves of the sun, and how thick the air is. */
const shade: Readonly<Record<SkyName, number>> = { clear: 1, haze: 0.45, cloud: 0.3, overcast: 0 };
const air = 0.2;
/** A little down, and a meter between one that saves highlights and one that does not. */
const pitch = -15;
const savesHighlights = 0.5;
/** Days of one weather differ, and so do clips of one flight. Standard deviations. */
const dayStops = 0.2;
const clipStops = 0.12;

const turnFromSun: Readonly<Record<Facing, number>> = { away: 180, across: 90, toward: 0 };

export interface Moment {
  readonly place: string;
  readonly sky: SkyName;
  readonly facing: Facing;
  readonly atMs: number;
}

/** EV at ISO 100 of a scene on a usual day, and where the camera looks. */
export function usualScene({ place, sky, facing, atMs }: Moment) {
  const sun = sunOver({ atMs, ...PLACES[place]! });
  const { elevationDegrees, azimuthDegrees } = sun;
  const headingDegrees = Math.round(azimuthDegrees + turnFromSun[facing]) % 360;
  const light = lightOf(elevationDegrees, sky, air, shade[sky]);
  const view = { heading: headingDegrees, azimuth: azimuthDegrees, pitch, elevationDegrees };
  return {
    ...sun,
    headingDegrees,
    sceneEv: pictureEv(light, view, places[place]!, savesHighlights) + cameraStops,
  };
}

export function comingScene(flight: ComingFlight) {
  return { ...PLACES[flight.place]!, ...usualScene({ ...flight, atMs: localMs(flight.startsAt) }) };
}

/** Milliseconds since 1970 of a local time such as 2026-01-10T13:10. */
export function localMs(local: string): number {
  return Date.parse(`${local}:00${OFFSET}`);
}

/** How much brighter than usual a day is, and each recording of it; the same for the same seed. */
export function chanceOf(seed: number): { readonly day: number; readonly recording: () => number } {
  const uniform = randomStream(seed);
  const normal = () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  return { day: dayStops * normal(), recording: () => clipStops * normal() };
}

/** Shutter times in thirds of a stop as cameras write them (ISO 516's series with the steps between). */
const SHUTTERS = [
  25, 30, 40, 50, 60, 80, 100, 125, 160, 200, 250, 320, 400, 500, 640, 800, 1000, 1250, 1600, 2000, 2500,
  3200, 4000, 5000, 6400, 8000,
] as const;

/** EV at ISO 100 of an exposure: log2(N^2 / t). */
function settingsEv(denominator: number): number {
  return Math.log2(CAMERA.fNumber ** 2 * denominator);
}

/** EV at ISO 100 of the camera at 180 degrees. */
export function settingsEvAt(framesPerSecond: number): number {
  return settingsEv(2 * framesPerSecond);
}

export interface Settings {
  readonly exposure: string;
  /** What the meter reads, + = over. */
  readonly meteredOffsetStops: number;
}

/**
 * What the pilot and the camera set, with so much light behind the filter: 180 degrees give or take a third of a stop
 * where that lands between -0.7 and 0, else whatever shutter the automatic takes.
 */
export function clipSettings(sensorEv: number, framesPerSecond: number): Settings {
  const near = offsetsOf(sensorEv).filter(
    ({ denominator, offset }) =>
      Math.abs(Math.log2(denominator / (2 * framesPerSecond))) < 0.3 && offset > -0.7 && offset < 0.05,
  );
  const open = offsetsOf(sensorEv).filter(({ denominator }) => denominator >= framesPerSecond);
  return settings(nearest(near, -0.2) ?? nearest(open, 0)!);
}

/** A still is left to the automatic. */
export function stillSettings(sensorEv: number): Settings {
  return settings(nearest(offsetsOf(sensorEv), 0)!);
}

interface Candidate {
  readonly denominator: number;
  readonly offset: number;
}

function offsetsOf(sensorEv: number): readonly Candidate[] {
  return SHUTTERS.map((denominator) => ({ denominator, offset: sensorEv - settingsEv(denominator) }));
}

function nearest(from: readonly Candidate[], wanted: number): Candidate | undefined {
  return from.toSorted((a, b) => Math.abs(a.offset - wanted) - Math.abs(b.offset - wanted))[0];
}

function settings({ denominator, offset }: Candidate): Settings {
  return { exposure: `1/${denominator}`, meteredOffsetStops: Math.round(10 * offset) / 10 };
}
