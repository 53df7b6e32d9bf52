import { randomStream } from '../random.ts';
import { lightOf, type Light, type SkyName } from './daylight.ts';

/*
 * Invented pilots with known truth. A scene is made of what stands in the picture: sky that is brighter toward the sun,
 * upright things lit from one side, ground of a place. Clouds come and go as a chain of states, cameras meter with a
 * bent of their own, and people make mistakes. Nothing here comes from Halfturn's own code, and nothing is made by the
 * rules that it predicts by.
 */

interface TrueFilter {
  readonly label: string;
  readonly labelStops: number;
  readonly trueStops: number;
}

export interface TrueClip {
  readonly flight: number;
  /** Milliseconds from the first flight. */
  readonly atMs: number;
  readonly place: string;
  /** What the pilot expected, and noted; undefined where nothing was. */
  readonly sky: SkyName | undefined;
  readonly elevationDegrees: number;
  /** By the clock of the camera, which may be wrong. */
  readonly recordedElevationDegrees: number;
  readonly sunAzimuthDegrees: number;
  readonly headingDegrees: number;
  readonly pitchDegrees: number;
  /** Whether the camera recorded where it looked. */
  readonly recordsAttitude: boolean;
  readonly sceneEv: number;
  readonly framesPerSecond: number;
  /** What the pilot wrote down. */
  readonly noted: TrueFilter;
  /** What the camera recorded behind what was really fitted. */
  readonly recordedEv: number;
  readonly mistake: 'forgotten' | 'wrong note' | undefined;
}

export interface TruePilot {
  readonly seed: number;
  readonly fNumber: number;
  readonly filters: readonly TrueFilter[];
  readonly clips: readonly TrueClip[];
}

interface Wishes {
  readonly seed: number;
  readonly flights: number;
  readonly clipsPerFlight?: number;
  readonly mistakes?: boolean;
}

const noFilter: TrueFilter = { label: 'none', labelStops: 0, trueStops: 0 };
const dayMs = 86_400_000;
const skies: readonly SkyName[] = ['clear', 'haze', 'cloud', 'overcast'];

/** From one day to the next: weather holds, and changes by neighbours. */
const nextSky: Readonly<Record<SkyName, readonly number[]>> = {
  clear: [0.6, 0.2, 0.15, 0.05],
  haze: [0.3, 0.4, 0.2, 0.1],
  cloud: [0.25, 0.15, 0.4, 0.2],
  overcast: [0.15, 0.1, 0.3, 0.45],
};

/** Share of the light that the ground sends back: woods, meadow, town, dry grass, sand, snow. */
const grounds = [0.05, 0.09, 0.12, 0.16, 0.28, 0.6] as const;
const groundShares = [0.22, 0.34, 0.2, 0.12, 0.08, 0.04];

/** How a pilot likes to fly: low sun or not, looking down, ahead, or both. */
const habits = [
  { evening: 0.15, pitches: [-8, -15, -5, -25] },
  { evening: 0.15, pitches: [-20, -45, -10, -60] },
  { evening: 0.05, pitches: [-90, -90, -80, -90] },
  { evening: 0.6, pitches: [-5, -10, 0, -20] },
  { evening: 0.2, pitches: [-90, -10, -30, -5] },
] as const;

export function makePilot({ seed, flights, clipsPerFlight = 5, mistakes = true }: Wishes): TruePilot {
  const uniform = randomStream(seed);
  const normal = () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  const pick = <T>(from: readonly T[]): T => from[Math.floor(uniform() * from.length)]!;
  const weighted = (shares: readonly number[]) => {
    let left = uniform();
    return shares.findIndex((share) => (left -= share) < 0);
  };
  const fNumber = pick([1.7, 2.8, 2.8, 4]);
  const filters = [4, 8, 16, 32, 64, 128].map((factor): TrueFilter => {
    const labelStops = Math.log2(factor);
    return { label: `ND${factor}`, labelStops, trueStops: labelStops + 0.15 * normal() };
  });
  const camera = { offset: 0.35 * normal(), savesHighlights: uniform() };
  const clockHours = mistakes && uniform() < 0.1 ? pick([-7, -6, -2, -1, 1, 2, 6, 8]) : 0;
  const recordsAttitude = uniform() < 0.7;
  const habit = pick(habits);
  const places = Array.from({ length: 3 }, (_, at) => ({
    name: `shore ${at + 1}`,
    ground: grounds[weighted(groundShares)] ?? 0.12,
    upright: 0.05 + 0.08 * uniform(),
    uprightShare: 0.15 + 0.35 * uniform(),
  }));

  const clips: TrueClip[] = [];
  let weather: SkyName = 'clear';
  for (let flight = 0; flight < flights; flight++) {
    const place = pick(places);
    weather = skies[weighted(nextSky[weather])] ?? 'cloud';
    const air = 0.12 + 0.2 * uniform() * uniform();
    const isEvening = uniform() < habit.evening;
    const startDegrees = isEvening ? -3 + 13 * uniform() : 10 + 52 * uniform();
    const azimuth = 360 * uniform();
    const expected = expectedSky(weather, uniform(), uniform());
    const day = 0.25 * normal();
    let fitted = rule(startDegrees, expected ?? 'haze', filters, uniform());
    const mistake = !mistakes ? undefined : mistakeOf(uniform());
    for (let clip = 0; clip < clipsPerFlight; clip++) {
      if (clip > 0 && uniform() < 0.2) fitted = neighbour(fitted, filters, uniform());
      const elevationDegrees = startDegrees - 0.4 * clip;
      const sky = uniform() < 0.12 ? (skies[weighted(nextSky[weather])] ?? weather) : weather;
      const shade = { clear: 1, haze: 0.45, cloud: uniform() < 0.4 ? 0.8 : 0.03, overcast: 0 }[sky];
      const heading = 360 * uniform();
      const pitch = Math.max(-90, pick(habit.pitches) + 4 * normal());
      const light = lightOf(elevationDegrees, sky, air, shade);
      const view = { heading, azimuth, pitch, elevationDegrees };
      const sceneEv =
        pictureEv(light, view, place, camera.savesHighlights) + camera.offset + day + 0.35 * normal();
      const [really, noted] = filtersOf(fitted, mistake, filters);
      clips.push({
        flight,
        atMs: flight * 3 * dayMs + clip * 120_000,
        place: place.name,
        sky: expected,
        elevationDegrees,
        recordedElevationDegrees: withWrongClock(elevationDegrees, clockHours),
        sunAzimuthDegrees: (azimuth + 15 * clockHours + 360) % 360,
        headingDegrees: heading,
        pitchDegrees: pitch,
        recordsAttitude,
        sceneEv,
        framesPerSecond: pick([24, 25, 30, 60]),
        noted,
        recordedEv: sceneEv - really.trueStops + 0.15 * normal(),
        mistake,
      });
    }
  }
  return { seed, fNumber, filters, clips };
}

interface View {
  readonly heading: number;
  readonly azimuth: number;
  readonly pitch: number;
  readonly elevationDegrees: number;
}

/** What a place sends back of its light, and how much of what is no sky stands upright; [0, 1]. */
export interface Ground {
  readonly ground: number;
  readonly upright: number;
  readonly uprightShare: number;
}

const cosine = (degrees: number) => Math.cos((degrees * Math.PI) / 180);

/** EV at ISO 100 of what a camera settles on: rows of the picture from sky to ground, brighter ones counted more or less. */
export function pictureEv(
  { beamLux, skyLux }: Light,
  { heading, azimuth, pitch, elevationDegrees }: View,
  place: Ground,
  savesHighlights: number,
): number {
  const level = beamLux * Math.max(0, -cosine(90 + elevationDegrees)) + skyLux;
  const towards = cosine(heading - azimuth);
  const upright =
    place.upright *
    (beamLux * cosine(elevationDegrees) * Math.max(0, -towards) + 0.5 * skyLux + 0.5 * place.ground * level);
  const fromSun = Math.hypot(60 * (1 - towards), elevationDegrees);
  const glow = beamLux > 0 || elevationDegrees < 2 ? 3 * Math.exp(-fromSun / 30) : 0.2;
  const rows = Array.from({ length: 12 }, (_, row) => {
    const angle = pitch + 25 - (50 * (row + 0.5)) / 12;
    if (angle > 3) return (skyLux / Math.PI) * (0.7 + glow);
    const standing = angle > -55 ? place.uprightShare : place.uprightShare / 3;
    return (standing * upright + (1 - standing) * place.ground * level) / Math.PI;
  });
  const centre = rows.map((nits, row) => ({ nits, weight: 1 - Math.abs(row - 5.5) / 9 }));
  const sum = centre.reduce((total, { weight }) => total + weight, 0);
  const mean = centre.reduce((total, { nits, weight }) => total + nits * weight, 0) / sum;
  const logMean = centre.reduce((total, { nits, weight }) => total + Math.log2(nits) * weight, 0) / sum;
  const metered = savesHighlights * Math.log2(mean) + (1 - savesHighlights) * logMean;
  return metered + 3;
}

/** A forecast that mostly holds; some pilots expect nothing. */
function expectedSky(weather: SkyName, draw: number, other: number): SkyName | undefined {
  if (draw < 0.1) return undefined;
  if (draw < 0.75) return weather;
  const at = skies.indexOf(weather);
  return skies[at + (other < 0.5 ? -1 : 1)] ?? weather;
}

/** Twelve degrees an hour, up or down as the day goes. */
function withWrongClock(degrees: number, hours: number): number {
  if (hours === 0) return degrees;
  return Math.max(-40, Math.min(65, degrees + 11 * hours));
}

function mistakeOf(draw: number): TrueClip['mistake'] {
  if (draw < 0.05) return 'forgotten';
  return draw < 0.09 ? 'wrong note' : undefined;
}

function filtersOf(
  fitted: TrueFilter,
  mistake: TrueClip['mistake'],
  filters: readonly TrueFilter[],
): readonly [really: TrueFilter, noted: TrueFilter] {
  if (mistake === 'forgotten') return [noFilter, fitted];
  if (mistake !== 'wrong note') return [fitted, fitted];
  return [fitted, filters[(filters.indexOf(fitted) + 3) % filters.length]!];
}

/** What a pilot without a logbook takes along, give or take a filter. */
function rule(degrees: number, sky: SkyName, filters: readonly TrueFilter[], draw: number): TrueFilter {
  const sunny = sky === 'clear' || sky === 'haze';
  const usual = sunny ? (degrees > 15 ? 3 : 1) : degrees > 15 ? 2 : 0;
  return filters[usual + Math.floor(draw * 3) - 1] ?? noFilter;
}

function neighbour(fitted: TrueFilter, filters: readonly TrueFilter[], draw: number): TrueFilter {
  const at = filters.indexOf(fitted);
  return filters[at + (draw < 0.5 ? -1 : 1)] ?? (at <= 0 ? noFilter : filters[at - 1]!);
}
