import { makePilot, type TrueClip, type TruePilot } from '../../sample-media-generator/pilots/pilot.ts';

/** What a way to learn says of a flight to come. */
export interface Forecast {
  readonly low: number;
  readonly high: number;
  readonly pick: string;
  readonly second: string | undefined;
  /** That one of the two lands, as printed. */
  readonly probability: number;
}

/** A way to learn from the clips of earlier flights, and to plan a clip of the next one. */
export type Learner = (clips: readonly TrueClip[], pilot: TruePilot) => (clip: TrueClip) => Forecast;

export const windowStops = [-0.7, 0] as const;
export const shutterToleranceStops = 1 / 3;

interface Outcome {
  readonly flight: number;
  readonly inside: boolean;
  readonly picked: boolean;
  readonly either: boolean;
  readonly probability: number;
  readonly sunny: boolean;
}

/** Pilots fly flight after flight; each is planned from what the ones before it left in the logbook. */
export function fly(count: number, flights: number, mistakes: boolean, learner: Learner): readonly Outcome[] {
  const outcomes: Outcome[] = [];
  for (let seed = 1; seed <= count; seed++) {
    const pilot = makePilot({ seed, flights, mistakes });
    for (let flight = 0; flight < flights; flight++) {
      const forecast = learner(
        pilot.clips.filter((clip) => clip.flight < flight),
        pilot,
      );
      for (const clip of pilot.clips.filter((each) => each.flight === flight)) {
        const { low, high, pick, second, probability } = forecast(clip);
        const picked = lands(pick, clip, pilot);
        outcomes.push({
          flight,
          inside: clip.sceneEv >= low && clip.sceneEv <= high,
          picked,
          either: picked || (second !== undefined && lands(second, clip, pilot)),
          probability,
          sunny: lands(sunnySixteen(clip, pilot), clip, pilot),
        });
      }
    }
  }
  return outcomes;
}

function settingsEv({ framesPerSecond }: TrueClip, { fNumber }: TruePilot): number {
  return Math.log2(fNumber ** 2 * 2 * framesPerSecond);
}

function lands(label: string, clip: TrueClip, pilot: TruePilot): boolean {
  const trueStops = pilot.filters.find((filter) => filter.label === label)?.trueStops ?? 0;
  const over = clip.sceneEv - settingsEv(clip, pilot) - trueStops;
  return over >= windowStops[0] - shutterToleranceStops && over <= windowStops[1] + shutterToleranceStops;
}

/** The table on a box of film: f/16 in the sun, f/11 in haze, f/8 cloudy, f/5.6 overcast, f/4 at sunset. */
function sunnySixteen(clip: TrueClip, pilot: TruePilot): string {
  const stops = { clear: 0, haze: 1, cloud: 2, overcast: 3 }[clip.sky ?? 'haze'];
  const sceneEv = 14.64 - (clip.elevationDegrees < 8 ? 4 : stops);
  const needed = sceneEv - settingsEv(clip, pilot) + 0.35;
  const nearest = [...pilot.filters].sort(
    (a, b) => Math.abs(a.labelStops - needed) - Math.abs(b.labelStops - needed),
  )[0]!;
  return Math.abs(needed) < Math.abs(nearest.labelStops - needed) ? 'none' : nearest.label;
}

/** The share of the outcomes that a question is true of, in percent. */
export function percentOf(outcomes: readonly Outcome[], isTrue: (outcome: Outcome) => boolean): number {
  return (100 * outcomes.filter(isTrue).length) / outcomes.length;
}

/** Outcomes in fifths, by the probability that was printed. */
export function fifths(outcomes: readonly Outcome[]): readonly (readonly Outcome[])[] {
  const sorted = outcomes.toSorted((a, b) => a.probability - b.probability);
  return Array.from({ length: 5 }, (_, at) =>
    sorted.slice((at * sorted.length) / 5, ((at + 1) * sorted.length) / 5),
  );
}
