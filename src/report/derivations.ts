import type { ReportedRecording } from '../domain/reportedRecording.ts';
import { exposureFactor, type Derivation, type DerivationSettings } from './derivation.ts';
import { isByAssumedCurve, isRough } from './exposureNotation.ts';
import { filterDerivations } from './filterDerivations.ts';
import {
  counted,
  formatDuration,
  formatEv,
  formatPercent,
  formatSpan,
  formatStops,
} from '../domain/format.ts';
import { shutterDerivations } from './shutterDerivations.ts';

/** Every number of a recording that was worked out and not read, with its sum. */
export function derivations(
  recording: ReportedRecording,
  settings: DerivationSettings,
): readonly Derivation[] {
  return [
    ...shutterDerivations(recording, settings),
    ev100(recording),
    exposureOffset(recording, settings),
    sceneLight(recording),
    ...filterDerivations(recording),
    clipped(recording),
    motion(recording),
  ].filter((derivation) => derivation !== undefined);
}

function ev100({ exposure, facts }: ReportedRecording): Derivation | undefined {
  const [f, seconds, iso] = [facts.fNumber?.value, facts.exposureSeconds?.value, facts.iso?.value];
  if (exposure.ev100 === undefined) return undefined;
  const label = 'EV at ISO 100';
  const result = formatEv(exposure.ev100);
  if (f === undefined || seconds === undefined || iso === undefined) return { label, sum: result };
  const sum = `log2(${Number(f.toFixed(1))}² / ${exposureFactor(seconds)}) − log2(${Math.round(iso)} / 100)`;
  return { label, sum: `${sum} = ${result}` };
}

function exposureOffset(recording: ReportedRecording, { windowStops }: DerivationSettings) {
  const { exposure, picture, facts } = recording;
  if (exposure.offsetStops === undefined) {
    if (picture === undefined || facts.transfer !== undefined) return undefined;
    return {
      label: 'exposure',
      sum: 'not known: no transfer curve was recorded, so brightness says nothing',
    };
  }
  const source = exposure.basis === 'picture' ? 'mean level of the picture' : "camera's meter";
  const wanted = `wanted ${windowStops.map(formatStops).join(' to ')}`;
  const shy = isRough(recording)
    ? '; HLG and PQ cameras place white up to two stops apart, and what that explains is left out'
    : isByAssumedCurve(recording)
      ? '; no transfer curve was recorded: BT.709 is assumed, and a log profile would be off by about a stop'
      : '';
  return {
    label: 'exposure',
    sum: `${formatStops(exposure.offsetStops)} stops by the ${source}, ${wanted}${shy}`,
  };
}

function sceneLight({ exposure, filter }: ReportedRecording): Derivation | undefined {
  if (exposure.sceneEv100 === undefined) return undefined;
  const parts = [
    exposure.ev100 === undefined ? undefined : `${formatEv(exposure.ev100)} recorded`,
    filter?.fitted === undefined ? undefined : `${formatStops(filter.fitted.stops)} filter`,
    exposure.offsetStops === undefined ? undefined : `${formatStops(exposure.offsetStops)} exposure`,
  ].filter((part) => part !== undefined);
  return { label: 'light on the scene', sum: `EV ${formatEv(exposure.sceneEv100)} (${parts.join(', ')})` };
}

function clipped({ picture, kind }: ReportedRecording): Derivation | undefined {
  if (picture === undefined) return undefined;
  const { clippedFraction, framesMeasured, clippedSpans, ceiling } = picture;
  const white = `(white taken at ${formatPercent(ceiling.signal)} of the ${ceiling.basis} peak)`;
  if (kind === 'still')
    return { label: 'clipped', sum: `${formatPercent(clippedFraction.max)} of the picture ${white}` };
  const spans = clippedSpans.length === 0 ? '' : `; ${clippedSpans.slice(0, 4).map(formatSpan).join(', ')}`;
  const more = clippedSpans.length > 4 ? ' and later' : '';
  return {
    label: 'clipped',
    sum:
      `${formatPercent(clippedFraction.max)} at most, ${formatPercent(clippedFraction.median)} typically, ` +
      `in ${counted(framesMeasured, 'measured frame')} ${white}${spans}${more}`,
  };
}

function motion({ picture, facts }: ReportedRecording): Derivation | undefined {
  if (picture?.motionPixelsPerFrame === undefined) return undefined;
  const { median, high } = picture.motionPixelsPerFrame;
  const width = facts.width === undefined ? '' : ` at ${facts.width.value} px width`;
  const step = picture.samplingStepSeconds;
  const sampled = step === undefined ? '' : `, looked at every ${formatDuration(step)}`;
  return {
    label: 'motion',
    sum: `${median.toFixed(1)} px per frame typically, ${high.toFixed(1)} at its fastest${width}${sampled}`,
  };
}
