import type { ExposureAdvice, ExposureStep, LightFault } from '../domain/advice.ts';
import { isLowLight } from '../domain/daylight.ts';
import {
  ev100,
  halfSettingStepStops,
  ratioFromStops,
  settingsOf,
  stopsFromRatio,
} from '../domain/exposure.ts';
import { nearestIsoMark, nearestShutterMark } from '../domain/settingMarks.ts';
import type { AdviceSubject } from './excessLight.ts';
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

/** A burnt part looks the same however far it is over, so a stop is tried; lifting by more than two costs too much noise. */
const firstStepStops = 1;
const mostDarkerStops = 2;

/** Where a single colour runs out. */
const colourStops = 0.5;

/** Two marks of a setting: what saves less noise than this is not worth changing anything for. */
const worthwhileStops = 0.6;

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

/** Light of the scene where it is that of night or of a room; a filter that nobody named is taken as none. */
export function lowLightOf({
  recording,
  fitted,
  offset,
}: Pick<AdviceSubject, 'recording' | 'fitted' | 'offset'>): number | undefined {
  const settings = ev100(settingsOf(recording.facts));
  if (settings === undefined) return undefined;
  const scene = settings + (fitted?.stops ?? 0) + (offset?.offsetStops ?? 0);
  return isLowLight(scene) ? scene : undefined;
}

function wantedLight(
  { faults, offset, highlightRoom = {} }: ExposureSubject,
  inLowLight: boolean,
): Pick<ExposureAdvice, 'wantedStops' | 'leaves'> {
  const offsetStops = offset?.offsetStops ?? 0;
  const isBurnt = faults.has('highlights-clipped');
  const isBright = faults.has('too-bright');
  // Lamps are brighter than anything that they light.
  const areLamps = isBurnt && inLowLight && !isBright;
  const over = Math.min(highlightRoom.overStops ?? firstStepStops, mostDarkerStops);
  const darkerStops = Math.max(
    isBright ? offsetStops : 0,
    isBurnt && !areLamps ? over : 0,
    faults.has('channel-clipped') && !inLowLight ? colourStops : 0,
  );
  const brighterStops = faults.has('too-dark') ? -offsetStops : 0;
  if (darkerStops > 0 && brighterStops > 0) return { wantedStops: 0, leaves: 'contrast' };
  const wantedStops = tenths(brighterStops - darkerStops);
  return areLamps && wantedStops === 0 ? { wantedStops, leaves: 'lamps' } : { wantedStops };
}

function stepsOf(
  subject: ExposureSubject,
  wantedStops: number,
  inLowLight: boolean,
): readonly ExposureStep[] {
  const { recording } = subject;
  const isoOverStops = isoOver(subject);
  // What the light must change by if ISO goes to base.
  const otherStops = tenths(wantedStops + isoOverStops);
  const others =
    otherStops < 0 ? lessLight(subject, -otherStops, inLowLight) : moreLight(subject, otherStops, inLowLight);
  if (wantedStops === 0 && sum(others) < worthwhileStops) return [];
  const iso = recording.facts.iso?.value;
  const leftStops = tenths(wantedStops - sum(others));
  const most = iso === undefined ? 0 : Math.max(0, stopsFromRatio(highestIso / iso));
  const isoStops = iso === undefined ? 0 : Math.min(leftStops, floorTenths(most));
  const isoStep: ExposureStep[] =
    iso === undefined || isoStops === 0
      ? []
      : [{ setting: 'iso', stops: isoStops, iso: isoAfter(subject, isoStops) }];
  return isoStops < 0 ? [...isoStep, ...others] : [...others, ...isoStep];
}

function isoOver({ recording, limits, faults }: ExposureSubject): number {
  const iso = recording.facts.iso?.value;
  return iso === undefined || !faults.has('iso-raised') ? 0 : tenths(stopsFromRatio(iso / limits.baseIso));
}

function isoAfter({ recording, limits }: ExposureSubject, stops: number): number {
  const iso = recording.facts.iso!.value * ratioFromStops(stops);
  const atBase = Math.abs(stopsFromRatio(iso / limits.baseIso)) < halfSettingStepStops;
  return atBase ? limits.baseIso : nearestIsoMark(iso);
}

/** What takes so much light away at the least cost, ISO apart. */
function lessLight(subject: ExposureSubject, stops: number, inLowLight: boolean): readonly ExposureStep[] {
  const filter = (left: number): ExposureStep[] => (left > 0 ? [{ setting: 'filter', stops: -left }] : []);
  const exposureSeconds = subject.recording.facts.exposureSeconds?.value;
  if (subject.recording.kind === 'clip' || exposureSeconds === undefined || wantsBlur(subject, inLowLight))
    return filter(stops);
  const room = Math.max(0, floorTenths(stopsFromRatio(exposureSeconds / shortestSeconds)));
  const shutter = shutterStep(exposureSeconds, -Math.min(stops, room));
  const aperture = apertureStep(subject, -tenths(stops + sum(shutter)));
  return [...shutter, ...aperture, ...filter(tenths(stops + sum(shutter) + sum(aperture)))];
}

/** What brings so much light, as far as it can, ISO apart. */
function moreLight(subject: ExposureSubject, stops: number, inLowLight: boolean): readonly ExposureStep[] {
  const { recording, fitted } = subject;
  const exposureSeconds = recording.facts.exposureSeconds?.value;
  const isClip = recording.kind === 'clip';
  // A clip without notes may have worn any filter, but for a shutter that is to open first.
  const opensFirst = isClip && subject.measurement?.shutter?.verdict === 'short';
  const worn = fitted?.stops ?? (isClip && !inLowLight && !opensFirst ? stops : 0);
  const off = Math.min(stops, floorTenths(worn));
  const filter: ExposureStep[] = off > 0 ? [{ setting: 'filter', stops: off }] : [];
  if (isClip || exposureSeconds === undefined) return filter;
  const longest = wantsBlur(subject, inLowLight)
    ? (subject.limits.longestExposureSeconds ?? longestSeconds)
    : longestSharpSeconds(recording.facts);
  const room = floorTenths(stopsFromRatio(longest / exposureSeconds));
  const shutter = room < 0.3 ? [] : shutterStep(exposureSeconds, Math.min(tenths(stops - off), room));
  const aperture = apertureStep(subject, tenths(stops - off - sum(shutter)));
  return [...filter, ...shutter, ...aperture];
}

/** In low light a long exposure is need, and no purpose. */
function wantsBlur({ recording }: ExposureSubject, inLowLight: boolean): boolean {
  return !inLowLight && (recording.facts.exposureSeconds?.value ?? 0) >= onPurposeSeconds;
}

function shutterStep(recordedSeconds: number, stops: number): readonly ExposureStep[] {
  if (stops === 0) return [];
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
