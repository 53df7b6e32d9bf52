import { randomStream } from '../random.ts';
import { levelGroundEv, type SkyName } from './daylight.ts';

/*
 * Invented pilots with known truth: a light that differs from flight to flight and from clip to clip, cameras and
 * places with a bent of their own, filters that miss their label. Nothing here comes from Halfturn's own code.
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
  readonly sky: SkyName;
  readonly elevationDegrees: number;
  readonly sunAzimuthDegrees: number;
  /** Undefined where the camera recorded none. */
  readonly headingDegrees: number | undefined;
  readonly facing: 'away' | 'across' | 'toward';
  readonly sceneEv: number;
  readonly framesPerSecond: number;
  readonly fitted: TrueFilter;
  /** What the camera recorded behind the filter: settings with the meter's reading. */
  readonly recordedEv: number;
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
  /** Of the filter ND16, from its label; drawn where absent. */
  readonly nd16OffStops?: number;
  /** Changes of filter within a flight happen with this probability; 0.4 where absent. */
  readonly swapShare?: number;
}

const skies: readonly (readonly [SkyName, number])[] = [
  ['clear', 0.5],
  ['haze', 0.2],
  ['cloud', 0.2],
  ['overcast', 0.1],
];
const noFilter: TrueFilter = { label: 'none', labelStops: 0, trueStops: 0 };
const dayMs = 86_400_000;

export function makePilot({
  seed,
  flights,
  clipsPerFlight = 5,
  nd16OffStops,
  swapShare = 0.4,
}: Wishes): TruePilot {
  const uniform = randomStream(seed);
  const normal = () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  const pick = <T>(from: readonly T[]): T => from[Math.floor(uniform() * from.length)]!;
  const fNumber = pick([1.7, 2.8, 2.8, 4]);
  const filters = [4, 8, 16, 32, 64, 128].map((factor): TrueFilter => {
    const labelStops = Math.log2(factor);
    const drawn = uniform() < 0.15 ? 0.5 * Math.sign(normal()) : 0.12 * normal();
    const off = factor === 16 && nd16OffStops !== undefined ? nd16OffStops : drawn;
    return { label: `ND${factor}`, labelStops, trueStops: labelStops + off };
  });
  const light = {
    camera: 0.4 * normal(),
    side: -1 + 0.3 * normal(),
    back: -2 + 0.5 * normal(),
    betweenFlights: 0.25 + 0.25 * uniform(),
    betweenClips: 0.25 + 0.2 * uniform(),
  };
  const skyOffsets = new Map(skies.map(([name]) => [name, 0.3 * normal()]));
  const places = Array.from({ length: 4 }, (_, at) => ({ name: `shore ${at + 1}`, offset: 0.35 * normal() }));

  const clips: TrueClip[] = [];
  for (let flight = 0; flight < flights; flight++) {
    const place = pick(places);
    const sky = drawSky(uniform());
    const day = light.betweenFlights * normal();
    const startDegrees = 4 + 60 * uniform();
    const azimuth = 360 * uniform();
    const guess = () => rule(startDegrees, sky, filters, uniform());
    let fitted = guess();
    for (let clip = 0; clip < clipsPerFlight; clip++) {
      if (clip > 0 && uniform() < swapShare) fitted = neighbour(fitted, filters, uniform());
      const heading = 360 * uniform();
      const facing = facingOf(heading, azimuth);
      const elevationDegrees = startDegrees + 0.4 * clip;
      const direct = sky === 'clear' ? 1 : sky === 'haze' ? 0.5 : 0;
      const direction = facing === 'across' ? light.side : facing === 'toward' ? light.back : 0;
      const sceneEv =
        levelGroundEv(elevationDegrees, sky) +
        light.camera +
        (skyOffsets.get(sky) ?? 0) +
        place.offset +
        direct * direction +
        day +
        light.betweenClips * normal();
      clips.push({
        flight,
        atMs: flight * 3 * dayMs + clip * 120_000,
        place: place.name,
        sky,
        elevationDegrees,
        sunAzimuthDegrees: azimuth,
        headingDegrees: uniform() < 0.8 ? heading : undefined,
        facing,
        sceneEv,
        framesPerSecond: pick([24, 25, 30, 60]),
        fitted,
        recordedEv: sceneEv - fitted.trueStops + 0.1 * normal(),
      });
    }
  }
  return { seed, fNumber, filters, clips };
}

function drawSky(draw: number): SkyName {
  let left = draw;
  for (const [name, share] of skies) {
    left -= share;
    if (left < 0) return name;
  }
  return 'clear';
}

/** What a pilot without a logbook takes along, give or take a filter. */
function rule(degrees: number, sky: SkyName, filters: readonly TrueFilter[], draw: number): TrueFilter {
  const sunny = sky === 'clear' || sky === 'haze';
  const usual = sunny ? (degrees > 15 ? 3 : 1) : degrees > 15 ? 2 : 0;
  const at = usual + Math.floor(draw * 3) - 1;
  return filters[at] ?? noFilter;
}

function neighbour(fitted: TrueFilter, filters: readonly TrueFilter[], draw: number): TrueFilter {
  const at = filters.indexOf(fitted);
  return filters[at + (draw < 0.5 ? -1 : 1)] ?? (at <= 0 ? noFilter : filters[at - 1]!);
}

function facingOf(heading: number, azimuth: number): TrueClip['facing'] {
  const turn = Math.abs(((heading - azimuth + 540) % 360) - 180);
  return turn <= 60 ? 'toward' : turn < 120 ? 'across' : 'away';
}
