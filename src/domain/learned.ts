import type { Sky, LightDirection } from './daylight.ts';

/** What the light of a scene is expected from; what is not known is left out. */
export interface SceneConditions {
  /** Height of the sun, [-90, 90]. */
  readonly elevationDegrees: number;
  readonly sky?: Sky;
  readonly direction?: LightDirection;
  readonly camera?: string;
  readonly place?: string;
}

/** What was learned of one part of the light, against what was expected before. Stops, + = brighter. */
interface LearnedEffect {
  readonly name: string;
  readonly priorStops: number;
  readonly learnedStops: number;
  /** Holds with 90%. */
  readonly interval: readonly [number, number];
  readonly observations: number;
}

/** How the light of this pilot's scenes differs from the published one. */
interface LearnedScene {
  readonly observations: number;
  readonly flights: number;
  /** Standard deviation of one recording around its flight, and of a flight around what its conditions say. */
  readonly recordingSpreadStops: number;
  readonly flightSpreadStops: number;
  readonly effects: readonly LearnedEffect[];
}

/** How strong a filter really is, from pairs of recordings under the same light. */
export interface FilterStrength {
  readonly label: string;
  readonly labelStops: number;
  /** As the pairs show it, of light removed. */
  readonly stops: number;
  /** Of `stops`; holds with 95%. */
  readonly interval: readonly [number, number];
  /** One standard deviation by which it is not known. */
  readonly spreadStops: number;
  readonly pairs: number;
  readonly flights: number;
  /** Pairs that were left out because they miss the labels so far that a note must be wrong. */
  readonly leftOut: number;
  /** Enough pairs of enough flights, a narrow interval, and the label lies outside it: advice uses it. */
  readonly supported: boolean;
}

/** How often something was right, of what is known. */
interface Share {
  readonly of: number;
  readonly right: number;
}

/** What was learned of one filter in one light, direction, sky or time. */
export interface FilterGroup {
  readonly by: 'light' | 'direction' | 'sky' | 'month' | 'year';
  readonly value: string;
  readonly recordings: number;
  readonly shutter: Share;
  readonly exposure: Share;
  /** As in `LearnedFilter`. */
  readonly missStops?: number;
}

export interface LearnedFilter {
  readonly label: string;
  readonly flights: number;
  readonly clips: number;
  readonly stills: number;
  readonly shutter: Share;
  readonly exposure: Share;
  /** Median of the light that it left to be taken away, + = the filter was too weak. */
  readonly missStops?: number;
  /** What the audits would have carried instead, the most frequent first. */
  readonly better: readonly { readonly label: string; readonly recordings: number }[];
  /** By light, direction and sky. */
  readonly groups: readonly FilterGroup[];
  /** By month, or by year where there are more than two of them. */
  readonly trend: readonly FilterGroup[];
}

/** The value behind `learn --json`. */
export interface LearnedReport {
  readonly format: 'halfturn-learned';
  readonly formatVersion: 1;
  readonly generatedAt: string;
  readonly flights: number;
  readonly recordings: number;
  readonly filters: readonly LearnedFilter[];
  readonly strengths: readonly FilterStrength[];
  readonly scene: LearnedScene;
}
