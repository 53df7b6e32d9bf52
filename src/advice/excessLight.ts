import type { FilterChange, HighlightsWant } from '../domain/advice.ts';
import type { ExposureBasis } from '../domain/findingWeight.ts';
import { framesPerSecond, type FrameRate } from '../domain/frameRate.ts';
import type { FittedFilter, KitFilter } from '../domain/filterKit.ts';
import type { Limits } from '../domain/limits.ts';
import type { Measurement } from '../domain/measurement.ts';
import { stopsThatHold, type HighlightRoom } from '../domain/overexposure.ts';
import type { Recording } from '../domain/recording.ts';
import { exposureSecondsForAngle, isLongerThanFrame, shutterRate } from '../domain/shutter.ts';
import { stopsFromRatio } from '../domain/exposure.ts';
import { outsideStops } from './choose.ts';
import { steadyStops, type LightRange } from './lightOverTime.ts';

export interface AdviceSubject {
  readonly recording: Recording;
  /** Absent where pictures were not measured. */
  readonly measurement?: Measurement;
  readonly limits: Limits;
  /** The pilot's filters; "none" is always a choice beside them. */
  readonly kit: readonly KitFilter[];
  /** What sat on the lens. Absent = unknown, which is not the same as `none`. */
  readonly fitted?: FittedFilter;
  /** How far the exposure is off, + = over. */
  readonly offset?: { readonly offsetStops: number; readonly basis: ExposureBasis };
  /** Set where the exposure time was not recorded but measured in the picture. */
  readonly measured?: { readonly uncertaintyStops: number };
  /** How the light on the scene changed during the clip. Absent where it did not. */
  readonly light?: LightRange;
  /** What the picture says of its highlights. */
  readonly highlightRoom?: HighlightRoom;
  /** f-numbers that recordings of this camera carry: more than one proves that the lens has an iris. */
  readonly fNumbersSeen?: readonly number[];
}

/** Where the light that is too much comes from; + = too much, - = too little. */
export interface ExcessLight {
  /** What the shutter worked against. */
  readonly frameRate: FrameRate;
  readonly shutterStops: number;
  readonly isoStops: number;
  readonly offsetStops: number;
  /** How much brighter the brightest part that lasts is than the typical one; 0 where the light is one. */
  readonly brightestStops: number;
  /** From the darkest part that lasts to the brightest, >= 0. */
  readonly spanStops: number;
  readonly highlights: HighlightsWant | undefined;
  /** How much of it is for highlights that burn; undefined where none do. */
  readonly burntStops: number | undefined;
  /** All of it together. */
  readonly additionalStops: number;
}

/** @returns undefined for stills and where exposure or frame rate is unknown or cannot be true */
export function excessLight(subject: AdviceSubject): ExcessLight | undefined {
  const settings = excessOfSettings(subject);
  if (settings === undefined) return undefined;
  const { frameRate, shutterStops, isoStops } = settings;
  const offsetStops = subject.offset?.offsetStops ?? 0;
  const light = lightSpan(subject.light);
  const highlights = highlightsWant({
    offsetStops,
    room: subject.highlightRoom ?? {},
    holdChance: subject.limits.holdChance,
  });
  const typicalStops = shutterStops + isoStops + offsetStops;
  return {
    frameRate,
    shutterStops,
    isoStops,
    offsetStops,
    ...light,
    highlights,
    burntStops: highlights?.burntFraction === undefined ? undefined : -highlights.offsetStops,
    additionalStops: typicalStops + light.brightestStops - (highlights?.offsetStops ?? 0),
  };
}

function excessOfSettings({ recording, limits }: AdviceSubject) {
  const { exposureSeconds, iso } = recording.facts;
  const opens = shutterRate(recording.facts);
  if (recording.kind !== 'clip' || !exposureSeconds || !opens) return undefined;
  const shutter = {
    exposureSeconds: exposureSeconds.value,
    framesPerSecond: framesPerSecond(opens.rate),
  };
  if (isLongerThanFrame(shutter)) return undefined;
  const angleDegrees = limits.shutterAngleDegrees;
  const targetSeconds = exposureSecondsForAngle({ angleDegrees, framesPerSecond: shutter.framesPerSecond });
  return {
    frameRate: opens.rate,
    shutterStops: stopsFromRatio(targetSeconds / shutter.exposureSeconds),
    isoStops: iso ? stopsFromRatio(limits.baseIso / iso.value) : 0,
  };
}

function lightSpan(light: LightRange | undefined) {
  const { brightestStops, darkestStops } = light ?? { brightestStops: 0, darkestStops: 0 };
  const spanStops = brightestStops - darkestStops;
  return spanStops > steadyStops ? { brightestStops, spanStops } : { brightestStops: 0, spanStops: 0 };
}

/** A clip whose shutter, ISO and exposure are each within their own limits had the right filter, whatever their sum. */
export function filterChange(excess: ExcessLight, limits: Limits): FilterChange {
  const { windowStops, shutterToleranceStops } = limits;
  const { shutterStops, isoStops, offsetStops, additionalStops } = excess;
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

/** Where nothing at all tells how far a burnt part is over: a stop, and then another look; common practice, no source. */
export const firstStepStops = 1;

/** Lifting a picture by more costs too much in noise, so what burns beyond that is left to burn; common practice, no source. */
export const mostDarkerStops = 2;

/**
 * Where the highlights want the exposure, against what the meter (or the level) wants: darker where a part of the
 * picture burns although the exposure is right, and less brightening of a dark picture than its highlights stand.
 * @param exposure `offsetStops` as it was recorded, + = over
 * @returns undefined where the highlights have nothing against a right exposure
 */
function highlightsWant(exposure: {
  readonly offsetStops: number;
  readonly room: HighlightRoom;
  readonly holdChance: number;
}): HighlightsWant | undefined {
  const { offsetStops, room, holdChance } = exposure;
  const { burntFraction, overexposure } = room;
  if (burntFraction !== undefined) {
    const overStops = overexposure ? stopsThatHold(overexposure, holdChance) : firstStepStops;
    const firstStep = overexposure?.highStops === undefined;
    if (offsetStops >= overStops && !firstStep) return undefined;
    const wanted = Math.min(0, offsetStops - overStops);
    const beyondStops = -mostDarkerStops - wanted;
    return {
      offsetStops: Math.max(wanted, -mostDarkerStops),
      burntFraction,
      firstStep: firstStep ? true : undefined,
      beyondStops: beyondStops > 0.3 ? beyondStops : undefined,
    };
  }
  const reached = offsetStops + (room.roomStops ?? Infinity);
  return reached < 0 ? { offsetStops: reached } : undefined;
}
