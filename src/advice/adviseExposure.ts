import type { ExposureAdvice, ExposureStep, LightFault } from '../domain/advice.ts';
import { isLowLight } from '../domain/daylight.ts';
import {
  ev100,
  halfSettingStepStops,
  ratioFromStops,
  settingsOf,
  stopsFromRatio,
} from '../domain/exposure.ts';
import type { Limits } from '../domain/limits.ts';
import { chanceOfHolding, fractionLeft, stopsThatHold, type HighlightRoom } from '../domain/overexposure.ts';
import { nearestIsoMark, nearestShutterMark } from '../domain/settingMarks.ts';
import { firstStepStops, mostDarkerStops, type AdviceSubject } from './excessLight.ts';
import { longestSharpSeconds } from './heldShutter.ts';

interface ExposureSubject extends Omit<AdviceSubject, 'kit' | 'measured' | 'light'> {
  /** Without those that are doubtful. */
  readonly faults: ReadonlySet<LightFault>;
}

/** Common practice, no source, as are all numbers of this file that name none. */
const shortestSeconds = 1 / 8000;
const longestSeconds = 30;
const highestIso = 6400;

/** As long as nobody holds a camera still: in daylight, whoever exposes so long wants the blur. */
const onPurposeSeconds = 0.25;

/** Where a single colour runs out. */
const colourStops = 0.5;

/** Two marks of a setting: what saves less noise than this is not worth changing anything for. */
const worthwhileStops = 0.6;

/** Marks miss the exact times by up to a tenth. */
const markStops = 0.1;

/** A mark of a setting: less cannot be set. */
const leastStepStops = 1 / 3;

/**
 * What to set otherwise next time, as one advice for everything that was found of the light in a recording: no finding
 * asks for itself.
 *
 * A still has its light mended where it costs nothing: ISO down to base, then the shutter, then the aperture, then a
 * filter; where there is too little, the filter comes off, the shutter opens for as long as nothing smears, then the
 * aperture, then ISO. Where blur was wanted, and in a clip, whose shutter is bound to its frame rate, the filter goes first.
 * @returns undefined where nothing was found that another exposure would mend
 */
export function adviseExposure(subject: ExposureSubject): ExposureAdvice | undefined {
  const { faults, fitted } = subject;
  if (faults.size === 0) return undefined;
  const lowLightEv100 = lowLightOf(subject);
  const wanted = wantedLight(subject, lowLightEv100 !== undefined);
  const steps = stepsOf(subject, wanted.wantedStops, lowLightEv100 !== undefined);
  const change = sum(steps);
  return {
    ...wanted,
    steps,
    missingStops: tenths(wanted.wantedStops - change),
    fitted,
    lowLightEv100,
    coloursLost: faults.has('channel-clipped') ? true : undefined,
    ...isoStays(subject, steps),
  };
}

/** Light of the scene where it is that of night or of a room; a filter that nobody named is taken as none, an ISO as base. */
export function lowLightOf({
  recording,
  limits,
  fitted,
  offset,
}: Pick<AdviceSubject, 'recording' | 'limits' | 'fitted' | 'offset'>): number | undefined {
  const settings = ev100({ iso: limits.baseIso, ...settingsOf(recording.facts) });
  if (settings === undefined) return undefined;
  const scene = settings + (fitted?.stops ?? 0) + (offset?.offsetStops ?? 0);
  return isLowLight(scene) ? scene : undefined;
}

function wantedLight(
  { faults, offset, limits, highlightRoom = {} }: ExposureSubject,
  inLowLight: boolean,
): Pick<ExposureAdvice, 'wantedStops' | 'leaves' | 'highlights'> {
  const offsetStops = offset?.offsetStops ?? 0;
  const isBurnt = faults.has('highlights-clipped');
  const isBright = faults.has('too-bright');
  // Lamps are brighter than anything that they light.
  const areLamps = isBurnt && inLowLight && !isBright;
  const { overexposure } = highlightRoom;
  const over = Math.min(
    Math.max(overexposure ? stopsThatHold(overexposure, limits.holdChance) : firstStepStops, leastStepStops),
    mostDarkerStops + Math.max(0, offsetStops),
  );
  const darkerStops = Math.max(
    isBright ? offsetStops : 0,
    isBurnt && !areLamps ? over : 0,
    faults.has('channel-clipped') && !inLowLight ? colourStops : 0,
  );
  if (darkerStops > 0 && offsetStops < limits.windowStops[0]) return { wantedStops: 0, leaves: 'contrast' };
  const brighterStops = faults.has('too-dark')
    ? Math.min(-offsetStops, highlightRoom.roomStops ?? Infinity)
    : 0;
  const wantedStops = tenths(brighterStops - darkerStops);
  if (areLamps) return { wantedStops, leaves: 'lamps' };
  return {
    wantedStops,
    highlights: isBurnt ? heldHighlights(highlightRoom, { darkerStops: -wantedStops, limits }) : undefined,
    leaves: isBurnt && offsetStops + wantedStops < limits.windowStops[0] ? 'shadows' : undefined,
  };
}

/** What becomes of burnt highlights in a picture that is darker by so much. */
export function heldHighlights(
  { burntFraction, overexposure }: HighlightRoom,
  { darkerStops, limits }: { readonly darkerStops: number; readonly limits: Limits },
): NonNullable<ExposureAdvice['highlights']> {
  if (burntFraction === undefined) return {};
  if (overexposure?.highStops === undefined)
    return { burntFraction, firstStep: true, leastStops: overexposure?.leastStops };
  return {
    burntFraction,
    holdChance: chanceOfHolding(overexposure, darkerStops),
    fractionLeft: fractionLeft(overexposure, {
      clippedFraction: burntFraction,
      acceptedFraction: limits.clippedFraction,
      darkerStops,
    }),
  };
}

function stepsOf(
  subject: ExposureSubject,
  wantedStops: number,
  inLowLight: boolean,
): readonly ExposureStep[] {
  // What the light must change by if ISO goes to base.
  const otherStops = tenths(wantedStops + isoOver(subject));
  const others =
    otherStops < 0
      ? lessLight(subject, -otherStops, inLowLight)
      : moreLight(subject, { stops: otherStops, inLowLight, forNoise: wantedStops === 0 });
  if (wantedStops === 0 && sum(others) < worthwhileStops) return [];
  const iso = isoStep(subject, tenths(wantedStops - sum(others)));
  return wantedStops > 0 ? [...others, ...iso] : [...iso, ...others];
}

function isoStep({ recording, limits }: ExposureSubject, stops: number): readonly ExposureStep[] {
  const recorded = recording.facts.iso?.value;
  if (recorded === undefined) return stops > 0 ? [{ setting: 'iso', stops }] : [];
  const mostStops = roomStops(highestIso / recorded);
  const change = Math.min(stops, mostStops);
  if (Math.abs(change) < halfSettingStepStops) return [];
  const iso = recorded * ratioFromStops(change);
  const atBase = Math.abs(stopsFromRatio(iso / limits.baseIso)) < halfSettingStepStops;
  return [{ setting: 'iso', stops: change, iso: atBase ? limits.baseIso : nearestIsoMark(iso) }];
}

function isoOver({ recording, limits, faults }: ExposureSubject): number {
  const iso = recording.facts.iso?.value;
  return iso === undefined || !faults.has('iso-raised') ? 0 : tenths(stopsFromRatio(iso / limits.baseIso));
}

/** What takes so much light away at the least cost, ISO apart. */
function lessLight(subject: ExposureSubject, stops: number, inLowLight: boolean): readonly ExposureStep[] {
  if (subject.recording.kind === 'clip') return filterStep(-stops);
  if (stops < halfSettingStepStops) return [];
  // Where nobody knows of a filter, a shorter exposure costs less.
  if (subject.fitted !== undefined && wantsBlur(subject, inLowLight)) return filterStep(-stops);
  const exposureSeconds = subject.recording.facts.exposureSeconds?.value;
  const room = roomStops(exposureSeconds && exposureSeconds / shortestSeconds);
  const shutter = room < leastStepStops ? [] : shutterStep(exposureSeconds, -Math.min(stops, room));
  const aperture = apertureStep(subject, -tenths(stops + sum(shutter)));
  const left = tenths(stops + sum(shutter) + sum(aperture));
  return [...shutter, ...aperture, ...(left < leastStepStops ? [] : filterStep(-left))];
}

interface MoreLight {
  readonly stops: number;
  readonly inLowLight: boolean;
  /** The picture was bright enough: depth of field is not given up for less noise. */
  readonly forNoise: boolean;
}

/** What brings so much light, as far as it can, ISO apart. */
function moreLight(subject: ExposureSubject, { stops, inLowLight, forNoise }: MoreLight) {
  const { recording, fitted, limits, measurement } = subject;
  const isClip = recording.kind === 'clip';
  // By its blur the shutter is to open anyway, nobody knows how far.
  if (isClip && measurement?.shutter?.verdict === 'short') return shutterStep(undefined, stops);
  // A clip without notes may have worn any filter.
  const worn = fitted?.stops ?? (isClip && !inLowLight ? stops : 0);
  const filter = filterStep(Math.min(stops, floorTenths(worn)));
  if (isClip) return filter;
  const longest = wantsBlur(subject, inLowLight)
    ? (limits.longestExposureSeconds ?? longestSeconds)
    : longestSharpSeconds(recording.facts);
  const exposureSeconds = recording.facts.exposureSeconds?.value;
  const room = roomStops(exposureSeconds && longest / exposureSeconds);
  const left = tenths(stops - sum(filter));
  const shutter = room < leastStepStops ? [] : shutterStep(exposureSeconds, Math.min(left, room));
  const aperture = forNoise ? [] : apertureStep(subject, tenths(left - sum(shutter)));
  return [...filter, ...shutter, ...aperture];
}

function filterStep(stops: number): readonly ExposureStep[] {
  return stops === 0 ? [] : [{ setting: 'filter', stops }];
}

/** How far a setting may go until it has changed so many times; as far as one likes where it was not recorded. */
function roomStops(times: number | undefined): number {
  return times === undefined ? Infinity : floorTenths(Math.max(0, stopsFromRatio(times) + markStops));
}

/** In low light a long exposure is need, and no purpose. */
function wantsBlur({ recording }: ExposureSubject, inLowLight: boolean): boolean {
  return !inLowLight && (recording.facts.exposureSeconds?.value ?? 0) >= onPurposeSeconds;
}

function shutterStep(recordedSeconds: number | undefined, stops: number): readonly ExposureStep[] {
  if (stops === 0) return [];
  if (recordedSeconds === undefined) return [{ setting: 'shutter', stops }];
  const exposureSeconds = nearestShutterMark(recordedSeconds * ratioFromStops(stops));
  return [{ setting: 'shutter', stops, exposureSeconds }];
}

/** The f-number that this camera was seen to use and that comes nearest without going too far. */
function apertureStep(
  { recording, fNumbersSeen = [] }: ExposureSubject,
  stops: number,
): readonly ExposureStep[] {
  const now = recording.facts.fNumber?.value;
  if (now === undefined || Math.abs(stops) < worthwhileStops) return [];
  const [best] = fNumbersSeen
    .map((fNumber) => ({ fNumber, stops: tenths(2 * stopsFromRatio(now / fNumber)) }))
    .filter((step) => step.stops * stops > 0 && Math.abs(step.stops) <= Math.abs(stops))
    .sort((a, b) => Math.abs(b.stops) - Math.abs(a.stops));
  return best === undefined ? [] : [{ setting: 'aperture', ...best }];
}

/** Of a still whose ISO stays above base: that the shutter could not help, and what standing still would. */
function isoStays(
  subject: ExposureSubject,
  steps: readonly ExposureStep[],
): Pick<ExposureAdvice, 'shutterAtItsEnd' | 'stillSeconds'> {
  const { recording, limits } = subject;
  const { exposureSeconds, iso } = recording.facts;
  if (recording.kind === 'clip' || exposureSeconds === undefined || iso === undefined) return {};
  const isoNow = iso.value * ratioFromStops(stopsOf(steps, 'iso'));
  const overStops = stopsFromRatio(isoNow / limits.baseIso);
  if (overStops <= worthwhileStops) return {};
  const seconds = exposureSeconds.value * ratioFromStops(stopsOf(steps, 'shutter') + overStops);
  return {
    shutterAtItsEnd: true,
    stillSeconds: seconds <= longestSeconds ? nearestShutterMark(seconds) : undefined,
  };
}

function stopsOf(steps: readonly ExposureStep[], setting: ExposureStep['setting']): number {
  return sum(steps.filter((step) => step.setting === setting));
}

/** Plus 0, so that nothing is -0. */
const tenths = (stops: number): number => Math.round(stops * 10) / 10 + 0;
const floorTenths = (stops: number): number => Math.floor(stops * 10 + 1e-6) / 10;

function sum(steps: readonly ExposureStep[]): number {
  return tenths(steps.reduce((total, { stops }) => total + stops, 0));
}
