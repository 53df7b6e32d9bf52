import type { FittedFilter } from './filterKit.ts';

/** What a filter would leave: `leavesStops` is the exposure offset with it on, + = over. */
export interface FilterPick {
  readonly label: string;
  /** Of a variable filter, what to set it to. */
  readonly stops: number;
  readonly leavesStops: number;
  /** What the darkest part that lasts would then be left with; absent where the light stays the same. */
  readonly darkestLeavesStops?: number;
  readonly variable?: boolean;
}

/** What else would have worked, each as data; the sentences, with what each costs, stand in report/filterWording.ts. */
export type Alternative =
  | { readonly kind: 'nearest-leaves-outside'; readonly label: string; readonly leavesStops: number }
  | {
      readonly kind: 'raise-iso' | 'second-base-iso';
      readonly label: string;
      readonly iso: number;
      readonly leavesStops: number;
    }
  | {
      readonly kind: 'stop-down';
      readonly label: string;
      readonly fNumber: number;
      readonly leavesStops: number;
    }
  | {
      readonly kind: 'other-frame-rate';
      readonly label: string;
      readonly framesPerSecond: number;
      /** Half the frame time of that rate, or what the target angle makes of it. */
      readonly exposureSeconds: number;
      readonly leavesStops: number;
    }
  | {
      readonly kind: 'stack';
      readonly labels: readonly [string, string];
      readonly stops: number;
      readonly leavesStops: number;
    }
  | { readonly kind: 'shutter-within-tolerance'; readonly label: string; readonly exposureSeconds: number }
  | {
      /** The weaker filter with a shutter that holds the highlights. */
      readonly kind: 'darker-by-shutter';
      readonly label: string;
      readonly exposureSeconds: number;
      readonly angleDegrees: number;
    }
  | { readonly kind: 'wait-for-light'; readonly label: string; readonly stops: number }
  | { readonly kind: 'no-filter-needed' }
  | { readonly kind: 'strength-not-in-kit'; readonly stops: number; readonly factor: number };

/** What the light asked for against what was on the lens: nothing else, a stronger or a weaker filter. */
export type FilterChange = 'none' | 'stronger' | 'weaker';

type ExposureTold = 'recorded exposure' | 'exposure by motion blur';
type AdviceBasis =
  ExposureTold | `${ExposureTold} and ${'meter' | 'picture level' | 'picture level in an assumed curve'}`;

/** Where the exposure belongs when the highlights have a say, by the meter (or the level): 0 but for them. */
export interface HighlightsWant {
  /** Exposure offset that the highlights ask for, - = darker than the meter wants it. */
  readonly offsetStops: number;
  /** Share of the picture that burnt; absent where the limit is the room that was left. */
  readonly burntFraction?: number;
  /** How far over the ceiling it was is known as a bound at most: `offsetStops` is a first step. */
  readonly firstStep?: boolean;
  /** That bound. */
  readonly leastStops?: number;
  /** How much more the burnt part would want than is sensible to give, stops > 0. */
  readonly beyondStops?: number;
  /** The chance that all of the highlights hold with the pick on; absent where only a bound is known. */
  readonly holdChance?: number;
  /** What stays burnt with it in the worst of ten such pictures, share of the picture. */
  readonly fractionLeft?: number;
}

export interface FilterAdvice {
  readonly fitted?: FittedFilter;
  /** Total ND that puts shutter, ISO and level where they belong; never below 0. Absent when `fitted` is unknown. */
  readonly neededStops?: number;
  /** The same for the darkest part that lasts; absent where the light stays the same. */
  readonly darkestNeededStops?: number;
  /** Light still to be taken away against what was fitted; negative = too much was taken. */
  readonly additionalStops: number;
  /** How much brighter the brightest part that lasts is than the darkest; absent where the light stays the same. */
  readonly lightSpanStops?: number;
  /** `none` where what was on the lens leaves the exposure inside the window. */
  readonly change: FilterChange;
  /** Best of the kit. Absent where `fitted` is unknown and nothing is to be added to it. */
  readonly pick?: FilterPick;
  /** True where `fitted` is unknown: the pick holds if nothing was fitted, else on top of what was. */
  readonly assumesNothingFitted?: boolean;
  /** True where no ISO was recorded: the advice then keeps whatever ISO was in use. */
  readonly keepsIso?: boolean;
  /** EV at ISO 100; set where nobody said what was fitted and the settings are those of night or of a room. */
  readonly lowLightEv100?: number;
  readonly basis: AdviceBasis;
  /** Set where the highlights moved the advice. */
  readonly highlights?: HighlightsWant;
  /** Meter and mean level of the picture where they differ by more than the subject explains. */
  readonly meterAndPicture?: { readonly meteredStops: number; readonly pictureStops: number };
  readonly uncertaintyStops: number;
  readonly otherwise: readonly Alternative[];
}

/** Where of the shutter only what it was at most is known. */
export interface LeastFilterAdvice extends Pick<FilterAdvice, 'fitted' | 'basis' | 'keepsIso'> {
  /** Light still to be taken away against what was fitted, or more. */
  readonly additionalAtLeastStops: number;
  readonly change: 'stronger';
}

/** What would have put an interval series on its target exposure. */
export type SeriesAlternative =
  | {
      /** The camera's longest exposure stands before the target. */
      readonly kind: 'camera-limit';
      readonly longestSeconds: number;
      readonly targetSeconds: number;
    }
  | { readonly kind: 'average'; readonly count: number; readonly exposureSeconds: number }
  | { readonly kind: 'shorter-interval'; readonly intervalSeconds: number }
  | { readonly kind: 'series-stack'; readonly labels: readonly [string, string]; readonly stops: number }
  | { readonly kind: 'series-strength-not-in-kit'; readonly stops: number; readonly factor: number };

export interface SeriesAdvice {
  readonly fitted?: FittedFilter;
  readonly targetSeconds: number;
  /** What the camera can reach of it. */
  readonly reachableSeconds: number;
  readonly neededStops?: number;
  readonly change: FilterChange;
  /** Light to be taken away before the reachable exposure is right; - = there is too little for it. */
  readonly additionalStops: number;
  readonly pick?: FilterPick;
  readonly assumesNothingFitted?: boolean;
  readonly uncertaintyStops: number;
  readonly otherwise: readonly SeriesAlternative[];
}

/** What is found in a single recording that another exposure would mend. */
export type LightFault = 'too-bright' | 'too-dark' | 'highlights-clipped' | 'channel-clipped' | 'iso-raised';

/** One setting to change, and to what where it was recorded; `stops` is what that does to the picture, + = brighter. */
export type ExposureStep =
  | { readonly setting: 'filter'; readonly stops: number }
  | { readonly setting: 'shutter'; readonly stops: number; readonly exposureSeconds?: number }
  | { readonly setting: 'aperture'; readonly stops: number; readonly fNumber: number }
  | { readonly setting: 'iso'; readonly stops: number; readonly iso?: number };

/** What to set otherwise where no filter advice stands: of a still, and of a clip whose shutter is not known. */
export interface ExposureAdvice {
  /** How much brighter the picture shall get, - = darker; 0 where only noise is to be saved. In tenths, as are all steps. */
  readonly wantedStops: number;
  /** In the order in which they cost least. With `missingStops` they add up to what is wanted. */
  readonly steps: readonly ExposureStep[];
  /** What no setting reaches. */
  readonly missingStops: number;
  readonly fitted?: FittedFilter;
  /** How well the burnt part holds then, as for a filter; absent where nothing is burnt, or lamps are. */
  readonly highlights?: Omit<HighlightsWant, 'offsetStops' | 'beyondStops'>;
  /** What such an exposure leaves to be done: `contrast` leaves the picture as bright as it is. */
  readonly leaves?: 'contrast' | 'lamps' | 'shadows';
  /** Set where single colours ran out. */
  readonly coloursLost?: boolean;
  /** Set where the light was that of night or of a room. */
  readonly lowLightEv100?: number;
  /** Set where ISO stays above base: the exposure time that would do at base ISO if camera and scene stood still. */
  readonly stillSeconds?: number;
  /** Set where a longer shutter would blur. */
  readonly shutterAtItsEnd?: boolean;
}
