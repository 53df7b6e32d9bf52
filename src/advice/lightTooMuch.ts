import type { FilterChange, HighlightsWant } from '../domain/advice.ts';
import { framesPerSecond, type FrameRate } from '../domain/frameRate.ts';
import type { Limits } from '../domain/limits.ts';
import { exposureSecondsForAngle, isLongerThanFrame, shutterRate } from '../domain/shutter.ts';

import { stopsFromRatio } from '../domain/stops.ts';
import type { AdviceSubject } from './adviceSubject.ts';
import { outsideStops } from './choose.ts';
import { highlightsWant } from './highlights.ts';
import { steadyStops, type LightRange } from './lightRange.ts';

/** Where the light that is too much comes from; + = too much, - = too little. */
export interface LightTooMuch {
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
export function lightTooMuch(subject: AdviceSubject): LightTooMuch | undefined {
  const settings = settingsTooMuch(subject);
  if (settings === undefined) return undefined;
  const { frameRate, shutterStops, isoStops } = settings;
  const offsetStops = subject.offset?.offsetStops ?? 0;
  const light = lightSpan(subject.light);
  const highlights = highlightsWant({ offsetStops, room: subject.highlightRoom ?? {} });
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

function settingsTooMuch({ recording, limits }: AdviceSubject) {
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
export function filterChange(tooMuch: LightTooMuch, limits: Limits): FilterChange {
  const { windowStops, shutterToleranceStops } = limits;
  const { shutterStops, isoStops, offsetStops, additionalStops } = tooMuch;
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
