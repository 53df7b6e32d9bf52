import type { ReportedRecording } from '../document/reportedRecording.ts';
import type { ExposureAdvice, ExposureStep, FilterAdvice, LeastFilterAdvice } from '../domain/advice.ts';
import { formatAperture, formatEv, formatExposure, formatStops, stopsInWords } from '../domain/format.ts';
import type { Recording } from '../domain/recording.ts';
import type { WholeAdvice } from '../findings/finding.ts';
import { isSameFilter, pilotsWords, type Kit } from './carryWording.ts';
import { heldText } from './filterWording.ts';

/** A recording with what was advised for it. */
export interface AdvisedRecording {
  readonly recording: Recording;
  readonly exposure: ReportedRecording['exposure'];
  readonly advice?: FilterAdvice;
  /** In place of `advice`, where of the shutter only a bound is known. */
  readonly leastFilter?: LeastFilterAdvice;
  /** Where no filter advice stands. */
  readonly exposureAdvice?: ExposureAdvice;
  readonly inLowLight?: boolean;
  /** Its exposure is that of its bracket or series, which is advised on as such. */
  readonly inSequence?: boolean;
}

/** What all remedies of a recording rest on, so that no two of them ask for opposite things. */
export function wholeAdvice(advised: AdvisedRecording, kit: Kit): WholeAdvice | undefined {
  const { advice, exposureAdvice, exposure, inLowLight, inSequence } = advised;
  const light = inLowLight === true ? ('low' as const) : undefined;
  if (exposureAdvice) {
    const mayBeDarker = exposureAdvice.wantedStops <= 0;
    return { sentence: exposureText(exposureAdvice, kit), mayBeDarker, light };
  }
  if (inSequence === true) return { mayBeDarker: true, light, needsIso: inLowLight };
  // The bound is said beside it; where the picture is dark as well, the shutter alone brings the light.
  if (advised.leastFilter) return { mayBeDarker: (exposure.offsetStops ?? 0) >= 0, light };
  if (advice === undefined) return undefined;
  const lacksLight = advice.otherwise.some(
    (alternative) => alternative.kind === 'nearest-leaves-outside' && alternative.leavesStops < 0,
  );
  const wantedStops = (advice.highlights?.offsetStops ?? 0) - (exposure.offsetStops ?? 0);
  return {
    mayBeDarker: advice.change !== 'weaker' && wantedStops <= 0,
    light: light && advice.fitted === undefined ? 'low-or-filtered' : light,
    needsIso: advice.lowLightEv100 !== undefined || lacksLight,
  };
}

/** A mark of a setting: less cannot be set anyway; common practice, no source. */
const leastSaidStops = 1 / 3;

/** What to set otherwise next time, for all that was found of the light. */
export function exposureText(advice: ExposureAdvice, kit: Kit): string {
  const { wantedStops, missingStops, coloursLost } = advice;
  const sentences = [
    changeText(advice, kit),
    Math.abs(missingStops) < leastSaidStops
      ? undefined
      : `${stopsInWords(missingStops)} ${missingStops > 0 ? 'more' : 'less'} cannot be set.`,
    advice.highlights && heldText(advice.highlights),
    leftAsItIs(advice),
    // It is said of ISO where nothing weightier is.
    wantedStops < 0 || advice.leaves === 'contrast' ? undefined : isoText(advice),
    coloursLost === true && wantedStops <= 0
      ? 'Watch the histogram of each channel, not of brightness alone.'
      : undefined,
  ].filter((text) => text !== undefined);
  return sentences.length === 0 ? 'Nothing needs to be set otherwise.' : sentences.join(' ');
}

function changeText(advice: ExposureAdvice, kit: Kit): string | undefined {
  const { wantedStops, steps } = advice;
  if (steps.length === 0)
    return wantedStops === 0
      ? undefined
      : `${stopsInWords(wantedStops)} ${direction(wantedStops)} was wanted.`;
  // A single step that is all of the change has its stops said already.
  const share = ({ stops }: ExposureStep): string | undefined =>
    steps.length === 1 && Math.abs(stops - wantedStops) < leastSaidStops
      ? undefined
      : `${formatStops(stops)} ${Math.abs(stops) === 1 ? 'stop' : 'stops'}`;
  const list = steps
    .map((step) => {
      const more = [share(step), filterNames(step, advice, kit)].filter((text) => text !== undefined);
      return stepText(step, advice) + (more.length === 0 ? '' : ` (${more.join('; ')})`);
    })
    .join(', ');
  const ifStill = steps.some(({ setting, stops }) => setting === 'shutter' && stops > 0)
    ? ', if nothing moves fast'
    : '';
  if (wantedStops === 0) return `Just as bright with less noise${ifStill}: ${list}.`;
  // A filter alone changes nothing where the camera makes up for it.
  const onAutomatic =
    steps.length === 1 && steps[0]?.setting === 'filter' && advice.fitted === undefined
      ? `, or exposure compensation of ${formatStops(wantedStops)} on automatic`
      : '';
  return `Let in ${stopsInWords(wantedStops)} ${direction(wantedStops)}: ${list}${onAutomatic}.`;
}

function direction(stops: number): string {
  return stops > 0 ? 'more light' : 'less light';
}

function stepText(step: ExposureStep, { fitted }: ExposureAdvice): string {
  const isMore = step.stops > 0;
  if (step.setting === 'iso')
    return step.iso === undefined ? `a ${isMore ? 'higher' : 'lower'} ISO` : `ISO ${Math.round(step.iso)}`;
  if (step.setting === 'shutter')
    return step.exposureSeconds === undefined
      ? `a ${isMore ? 'longer' : 'shorter'} shutter`
      : formatExposure(step.exposureSeconds);
  if (step.setting === 'aperture') return formatAperture(step.fNumber);
  if (fitted === undefined) return `a ${isMore ? 'weaker' : 'stronger'} filter`;
  const amount = stopsInWords(step.stops);
  if (isMore)
    return fitted.stops - step.stops < 0.1
      ? `no filter instead of the ${fitted.label}`
      : `a filter ${amount} weaker`;
  return fitted.stops === 0 ? `a filter of ${amount}` : `a filter ${amount} stronger`;
}

/** Which filter a change of filter comes to, where nobody said what was on. */
function filterNames(
  { setting, stops }: ExposureStep,
  { fitted }: ExposureAdvice,
  kit: Kit,
): string | undefined {
  return setting !== 'filter' || fitted !== undefined || isSameFilter(stops)
    ? undefined
    : pilotsWords(-stops, kit);
}

const leaving: Readonly<Record<NonNullable<ExposureAdvice['leaves']>, string>> = {
  contrast:
    'Bright and dark are farther apart than one exposure holds: expose for the bright parts and lift the others in the edit, or bracket stills.',
  shadows: 'The rest gets dark: lift it in the edit.',
  lamps: 'In such light lamps and windows may stay white: bracket stills where they matter.',
};

function leftAsItIs({ leaves }: ExposureAdvice): string | undefined {
  return leaves === undefined ? undefined : leaving[leaves];
}

/** Why ISO stays above base, and what would lower it. */
function isoText({ lowLightEv100, stillSeconds, shutterAtItsEnd }: ExposureAdvice): string | undefined {
  if (shutterAtItsEnd !== true) return undefined;
  const why =
    lowLightEv100 === undefined
      ? 'A longer shutter could blur, so ISO stays up'
      : `In low light (EV ${formatEv(lowLightEv100)}) ISO has to stay up`;
  const still =
    stillSeconds === undefined
      ? ''
      : `; where nothing moves, a camera that stands still can take ${formatExposure(stillSeconds)} at base ISO`;
  return `${why}${still}.`;
}
