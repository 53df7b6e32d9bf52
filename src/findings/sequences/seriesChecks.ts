import { flowingShare, stillStops } from '../../domain/sequence.ts';
import { median } from '../../domain/statistics.ts';
import { clippedWeight, worstClippedFrame } from '../clipping.ts';
import { offsetOutside } from '../checks/offsetOutside.ts';
import type { ExposureOffset } from '../check.ts';
import { cameraMotion, seriesExposureSeconds, seriesTargetSeconds } from './seriesFacts.ts';
import type { JudgedSequence, SequenceCheck } from './sequenceCheck.ts';

/** Share of the target exposure: half a second of 5 s shows some blur already; common practice, no source. */
const someBlurShare = 0.2;

const rounding = 1e-6;

/** Third-stop steps between two frames are seen as flicker when played; marks are rounded by less. */
const stepStops = 0.25;

/** A twentieth of the frames may be lost before a jump is more than a blink; common practice, no source. */
const fewMissingFraction = 0.05;

/** series-exposure-short: less of the interval was exposed than makes motion flow. */
export const seriesExposureShort: SequenceCheck = (subject) => {
  const { sequence, limits } = subject;
  if (sequence.kind !== 'interval') return undefined;
  const { intervalSeconds } = sequence;
  const exposureSeconds = seriesExposureSeconds(sequence);
  if (exposureSeconds === undefined) return undefined;
  const targetSeconds = seriesTargetSeconds(intervalSeconds, limits);
  const share = exposureSeconds / targetSeconds;
  if (share >= flowingShare - rounding) return undefined;
  const camera = cameraMotion(sequence);
  const stepped = share < someBlurShare - rounding && camera !== 'hovering';
  const discFraction = largestDisc(subject);
  return {
    kind: 'series-exposure-short',
    weight: stepped ? 'medium' : 'low',
    exposureSeconds,
    intervalSeconds,
    targetSeconds,
    camera,
    discFraction: discFraction > 0 ? discFraction : undefined,
  };
};

function largestDisc({ evidence }: JudgedSequence): number {
  const discs = evidence.map(({ measurement }) => measurement && worstClippedFrame(measurement, 'disc'));
  return Math.max(0, ...discs.map((frame) => frame?.clippedFraction ?? 0));
}

/** series-frames-dropped: frames that the interval promises are not there. */
export const seriesFramesDropped: SequenceCheck = ({ sequence }) => {
  if (sequence.kind !== 'interval') return undefined;
  const { missingBefore, members, intervalSeconds } = sequence;
  const gaps = missingBefore.filter((missing) => missing > 0);
  const missingFrames = gaps.reduce((sum, missing) => sum + missing, 0);
  if (missingFrames === 0) return undefined;
  const few = missingFrames / (members.length + missingFrames) < fewMissingFraction;
  return {
    kind: 'series-frames-dropped',
    weight: few && Math.max(...gaps) === 1 ? 'low' : 'medium',
    missingFrames,
    gaps: gaps.length,
    longestGapSeconds: (Math.max(...gaps) + 1) * intervalSeconds,
  };
};

/** series-exposure-steps: settings that change between two frames make the played series flicker. */
export const seriesExposureSteps: SequenceCheck = ({ sequence }) => {
  if (sequence.kind !== 'interval') return undefined;
  const exposures = sequence.members.map(({ facts }) => stillStops(facts));
  const steps = exposures.slice(1).flatMap((stops, index) => {
    const before = exposures[index];
    return stops === undefined || before === undefined ? [] : Math.abs(stops - before);
  });
  const seen = steps.filter((stops) => stops > stepStops);
  if (seen.length === 0) return undefined;
  return {
    kind: 'series-exposure-steps',
    weight: 'medium',
    count: seen.length,
    largestStops: Math.max(...seen),
  };
};

/** series-highlights-clipped: part of the picture burns in frames of the series. */
export const seriesHighlightsClipped: SequenceCheck = ({ sequence, evidence, limits }) => {
  if (sequence.kind !== 'interval') return undefined;
  const burnt = evidence
    .map(({ measurement }) => (measurement && worstClippedFrame(measurement, 'area'))?.clippedFraction ?? 0)
    .filter((fraction) => fraction > limits.clippedFraction);
  if (burnt.length === 0) return undefined;
  const maxFraction = Math.max(...burnt);
  return {
    kind: 'series-highlights-clipped',
    weight: clippedWeight(maxFraction, limits),
    frames: burnt.length,
    ofFrames: sequence.members.length,
    maxFraction,
  };
};

/** series-too-bright and series-too-dark: the usual frame lies outside the window. */
export const seriesOffset: SequenceCheck = ({ sequence, evidence, limits }) => {
  const [recording] = sequence.members;
  if (sequence.kind !== 'interval' || !recording) return undefined;
  const offset = usualOffset(evidence.flatMap((one) => one.offset ?? []));
  const finding = offset && offsetOutside({ recording, limits, offset });
  if (finding?.kind === 'too-bright') return { ...finding, kind: 'series-too-bright' };
  return finding?.kind === 'too-dark' ? { ...finding, kind: 'series-too-dark' } : undefined;
};

/** The usual offset of a series, by the basis that most of its frames have. */
export function usualOffset(offsets: readonly ExposureOffset[]): ExposureOffset | undefined {
  const metered = offsets.filter(({ basis }) => basis === 'metered');
  const basis = metered.length * 2 >= offsets.length ? 'metered' : 'picture';
  const offsetStops = median(offsets.filter((one) => one.basis === basis).map((one) => one.offsetStops));
  return offsetStops === undefined ? undefined : { offsetStops, basis };
}
