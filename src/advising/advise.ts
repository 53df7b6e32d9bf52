import type { FilterAdvice, FilterChange } from '../domain/advice.ts';
import type { ExposureBasis } from '../domain/finding.ts';
import { framesPerSecond } from '../domain/frameRate.ts';
import type { FittedFilter, KitFilter } from '../domain/kit.ts';
import type { Limits } from '../domain/limits.ts';
import type { Measurement } from '../domain/measurement.ts';
import type { Recording } from '../domain/recording.ts';
import { exposureSecondsForAngle, isLongerThanFrame } from '../domain/shutter.ts';
import { stopsFromRatio } from '../domain/stops.ts';
import { alternatives } from './alternatives.ts';
import { chooseFilter, outsideStops, type Demand } from './choose.ts';
import { recordedFilter } from './fitted.ts';
import { highlightsWant, type HighlightRoom } from './highlights.ts';
import { steadyStops, type LightRange } from './lightRange.ts';
import { meterAndPicture } from './meterAndPicture.ts';
import { uncertaintyStops } from './uncertainty.ts';

export interface AdviceSubject {
  readonly recording: Recording;
  /** Absent where pictures were not measured. */
  readonly measurement?: Measurement | undefined;
  readonly limits: Limits;
  /** The pilot's filters; "none" is always a choice beside them. */
  readonly kit: readonly KitFilter[];
  /** What sat on the lens. Absent = unknown, which is not the same as `none`. */
  readonly fitted?: FittedFilter | undefined;
  /** How far the exposure is off, + = over. */
  readonly offset?: { readonly offsetStops: number; readonly basis: ExposureBasis } | undefined;
  /** Set where the exposure time was not recorded but measured in the picture. */
  readonly measured?: { readonly uncertaintyStops: number } | undefined;
  /** How the light on the scene changed during the clip. Absent where it did not. */
  readonly light?: LightRange | undefined;
  /** What the picture says of its highlights. */
  readonly highlightRoom?: HighlightRoom | undefined;
  /** f-numbers that recordings of this camera carry: more than one proves that the lens has an iris. */
  readonly fNumbersSeen?: readonly number[];
}

const oneLight: LightRange = { brightestStops: 0, darkestStops: 0 };

/**
 * Which filter would have put shutter, ISO and exposure where they belong.
 *
 * Opening the shutter from the recorded to the target time and going back to base ISO changes the light on the
 * picture by log2(target / recorded) + log2(base ISO / ISO) stops; with the offset that the exposure had, that is the
 * light still to be taken away (`additionalStops`). With the fitted filter it is what is needed in all. Where the light
 * changed during the clip, the brightest part that lasts counts, so that nothing burns out there; where highlights
 * burn although the exposure is right, what they need counts instead.
 *
 * What was fitted is often unknown. Then `additionalStops` stands, `neededStops` is absent, and the pick is made as
 * if nothing was fitted (`assumesNothingFitted`); strengths add, so it is also what to put on top of what was. Where
 * nothing is to be added, no pick is made: "no filter" would be wrong for a lens that wore the right one.
 *
 * @returns undefined for stills and where exposure or frame rate is unknown or cannot be true
 */
export function adviseFilter(subject: AdviceSubject): FilterAdvice | undefined {
  const { recording, limits, kit, offset } = subject;
  const tooMuch = lightTooMuch(subject);
  const rate = recording.facts.frameRate;
  if (tooMuch === undefined || !rate) return undefined;
  const light = lightOf(subject);
  const want = highlightsWant({ offsetStops: tooMuch.offsetStops, room: subject.highlightRoom ?? {} });
  const typicalStops = tooMuch.shutterStops + tooMuch.isoStops + tooMuch.offsetStops;
  const additionalStops = typicalStops + light.brightestStops - (want?.offsetStops ?? 0);
  const fitted = subject.fitted ?? recordedFilter(recording);
  const demand: Demand = {
    totalStops: additionalStops + (fitted?.stops ?? 0),
    spanStops: light.spanStops,
    windowStops: limits.windowStops,
  };
  const pick = chooseFilter(kit, demand);
  const bothOffsets = meterAndPicture(subject);
  return {
    ...(fitted ? needed(fitted, demand, light.spanStops) : { assumesNothingFitted: true }),
    additionalStops,
    ...(light.spanStops > 0 && { lightSpanStops: light.spanStops }),
    change: filterChange(tooMuch, additionalStops, limits),
    ...(fitted || pick.stops > 0 ? { pick } : {}),
    ...(recording.facts.iso ? {} : { keepsIso: true }),
    basis: basisText(subject),
    ...(want && { highlights: want }),
    ...(bothOffsets?.differ === true && { meterAndPicture: bothOffsets.offsets }),
    uncertaintyStops: uncertaintyStops({
      basis: offset?.basis,
      fitted,
      transfer: subject.recording.facts.transfer?.value,
      meterAgainstPictureStops: bothOffsets?.distanceStops,
      measuredStops: Math.hypot(
        subject.measured?.uncertaintyStops ?? 0,
        want?.burntFraction === undefined ? 0 : (subject.highlightRoom?.overSpreadStops ?? 0),
      ),
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
            darkerStops: want?.burntFraction === undefined ? 0 : -want.offsetStops,
          }),
  };
}

function needed(fitted: FittedFilter, { totalStops }: Demand, spanStops: number) {
  return {
    fitted,
    neededStops: Math.max(0, totalStops),
    ...(spanStops > 0 && { darkestNeededStops: Math.max(0, totalStops - spanStops) }),
  };
}

function lightOf({ light: { brightestStops, darkestStops } = oneLight }: AdviceSubject) {
  const spanStops = brightestStops - darkestStops;
  return spanStops > steadyStops ? { brightestStops, spanStops } : { brightestStops: 0, spanStops: 0 };
}

/** Where the light that is too much comes from; + = too much, - = too little. */
interface TooMuch {
  readonly shutterStops: number;
  readonly isoStops: number;
  readonly offsetStops: number;
}

/** A clip whose shutter, ISO and exposure are each within their own limits had the right filter, whatever their sum. */
function filterChange(tooMuch: TooMuch, additionalStops: number, limits: Limits): FilterChange {
  const { windowStops, shutterToleranceStops } = limits;
  const { shutterStops, isoStops, offsetStops } = tooMuch;
  const outside = outsideStops(additionalStops, windowStops);
  const eachRight =
    Math.abs(shutterStops) <= shutterToleranceStops &&
    isoStops === 0 &&
    outsideStops(offsetStops, windowStops) === 0;
  // What light over time and the highlights add is no part of the three.
  const moved = Math.abs(additionalStops - shutterStops - isoStops - offsetStops) > steadyStops;
  if (outside === 0 || (eachRight && !moved)) return 'none';
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

function basisText({ offset, measured }: AdviceSubject): FilterAdvice['basis'] {
  const exposure = measured === undefined ? 'recorded exposure' : 'exposure by motion blur';
  if (offset === undefined) return exposure;
  return offset.basis === 'metered' ? `${exposure} and meter` : `${exposure} and picture level`;
}
