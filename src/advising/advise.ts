import type { FilterAdvice, FilterChange } from '../domain/advice.ts';
import type { ExposureBasis } from '../domain/finding.ts';
import { framesPerSecond } from '../domain/frameRate.ts';
import type { FittedFilter, KitFilter } from '../domain/kit.ts';
import type { Limits } from '../domain/limits.ts';
import type { Recording } from '../domain/recording.ts';
import { exposureSecondsForAngle, isLongerThanFrame } from '../domain/shutter.ts';
import { stopsFromRatio } from '../domain/stops.ts';
import { alternatives } from './alternatives.ts';
import { chooseFilter, outsideStops } from './choose.ts';
import { recordedFilter } from './fitted.ts';
import { uncertaintyStops } from './uncertainty.ts';

export interface AdviceSubject {
  readonly recording: Recording;
  readonly limits: Limits;
  /** The pilot's filters; "none" is always a choice beside them. */
  readonly kit: readonly KitFilter[];
  /** What sat on the lens. Absent = unknown, which is not the same as `none`. */
  readonly fitted?: FittedFilter | undefined;
  /** Set where the exposure time was measured from motion blur: its standard deviation. */
  readonly measured?: { readonly uncertaintyStops: number } | undefined;
  /** How far the exposure is off, + = over. */
  readonly offset?: { readonly offsetStops: number; readonly basis: ExposureBasis } | undefined;
  /** f-numbers that recordings of this camera carry: more than one proves that the lens has an iris. */
  readonly fNumbersSeen?: readonly number[];
}

/**
 * Which filter would have put shutter, ISO and exposure where they belong.
 *
 * Opening the shutter from the recorded to the target time and going back to base ISO changes the light on the
 * picture by log2(target / recorded) + log2(base ISO / ISO) stops; with the offset that the exposure had, that is the
 * light still to be taken away (`additionalStops`). With the fitted filter it is what is needed in all.
 *
 * What was fitted is often unknown. Then `additionalStops` stands, `neededStops` is absent, and the pick is made as
 * if nothing was fitted (`assumesNothingFitted`); strengths add, so it is also what to put on top of what was. Where
 * nothing is to be added, no pick is made: "no filter" would be wrong for a lens that wore the right one.
 *
 * @returns undefined for stills and where exposure or frame rate is unknown or cannot be true
 */
export function adviseFilter(subject: AdviceSubject): FilterAdvice | undefined {
  const { recording, limits, kit, offset, measured } = subject;
  const tooMuch = lightTooMuch(subject);
  const rate = recording.facts.frameRate;
  if (tooMuch === undefined || !rate) return undefined;
  const additionalStops = tooMuch.shutterStops + tooMuch.isoStops + tooMuch.offsetStops;
  const fitted = subject.fitted ?? recordedFilter(recording);
  const demand = { totalStops: additionalStops + (fitted?.stops ?? 0), windowStops: limits.windowStops };
  const pick = chooseFilter(kit, demand);
  return {
    ...(fitted ? { fitted, neededStops: Math.max(0, demand.totalStops) } : { assumesNothingFitted: true }),
    additionalStops,
    change: filterChange(tooMuch, limits),
    ...(fitted || pick.stops > 0 ? { pick } : {}),
    ...(recording.facts.iso ? {} : { keepsIso: true }),
    basis: `${measured ? 'exposure by motion blur' : 'recorded exposure'}${offsetWords[offset?.basis ?? 'none']}`,
    uncertaintyStops: uncertaintyStops({
      basis: offset?.basis,
      fitted,
      exposureStops: measured?.uncertaintyStops,
    }),
    // What was fitted too strongly, nobody knows: there is no filter to name.
    otherwise:
      !fitted && additionalStops < 0
        ? []
        : alternatives({
            demand,
            pick,
            kit,
            limits,
            frameRate: rate.value,
            fittedKnown: fitted !== undefined,
            iso: recording.facts.iso?.value,
            fNumber: recording.facts.fNumber?.value,
            fNumbersSeen: subject.fNumbersSeen ?? [],
          }),
  };
}

/** Where the light that is too much comes from; + = too much, - = too little. */
interface TooMuch {
  readonly shutterStops: number;
  readonly isoStops: number;
  readonly offsetStops: number;
}

/** A clip whose shutter, ISO and exposure are each within their own limits had the right filter, whatever their sum. */
function filterChange({ shutterStops, isoStops, offsetStops }: TooMuch, limits: Limits): FilterChange {
  const { windowStops, shutterToleranceStops } = limits;
  const outside = outsideStops(shutterStops + isoStops + offsetStops, windowStops);
  const eachRight =
    Math.abs(shutterStops) <= shutterToleranceStops &&
    isoStops === 0 &&
    outsideStops(offsetStops, windowStops) === 0;
  if (outside === 0 || eachRight) return 'none';
  return outside > 0 ? 'stronger' : 'weaker';
}

function lightTooMuch({ recording, limits, offset }: AdviceSubject): TooMuch | undefined {
  const { exposureSeconds, frameRate, iso } = recording.facts;
  if (recording.kind !== 'clip' || !exposureSeconds || !frameRate) return undefined;
  const shutter = {
    exposureSeconds: exposureSeconds.value,
    framesPerSecond: framesPerSecond(frameRate.value),
  };
  if (isLongerThanFrame(shutter)) return undefined;
  const angleDegrees = limits.shutterAngleDegrees;
  const targetSeconds = exposureSecondsForAngle({ angleDegrees, framesPerSecond: shutter.framesPerSecond });
  const shutterStops = stopsFromRatio(targetSeconds / shutter.exposureSeconds);
  const isoStops = iso ? stopsFromRatio(limits.baseIso / iso.value) : 0;
  return { shutterStops, isoStops, offsetStops: offset?.offsetStops ?? 0 };
}

const offsetWords: Readonly<Record<ExposureBasis | 'none', '' | ' and meter' | ' and picture level'>> = {
  metered: ' and meter',
  picture: ' and picture level',
  none: '',
};
