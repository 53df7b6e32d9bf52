import type { ShutterClass, ShutterReason } from '../../domain/shutter.ts';
import type { Judgement } from './judgeTiles.ts';
import { openFractions } from './openingFit.ts';
import { classProbabilities, detailCycles, reachedCycles } from './posterior.ts';
import type { ClassProbabilities } from './posterior.ts';
import type { ShutterEstimate, ShutterEvidence, ShutterOptions } from './shutterEstimate.ts';

/** At recorded size; below it no bound on the angle is told from lens and codec. */
const leastMotionPixels = 5.2;
/** About where the first zero of an exposure comes into the frequencies that a camera's files still hold. */
const leastBlurPixels = 3.3;
const leastClassProbability = 0.9;
const widestIntervalStops = 1;

type Verdict = Omit<ShutterEstimate, 'pairCount' | 'tileCount' | 'medianMotionPixels'>;

/** Puts a judgement into a verdict: a number, a bound, or the reason why neither can be said. */
export function verdictOf(judged: Judgement, motionPixels: number, options: ShutterOptions): Verdict {
  const { lowDegrees, middleDegrees, highDegrees } = judged.posterior;
  const classes = classProbabilities(judged.posterior, {
    angleDegrees: options.targetAngleDegrees ?? 180,
    toleranceStops: options.toleranceStops ?? 1 / 3,
  });
  const found = mostProbable(classes);
  const narrow = Math.log2(highDegrees / lowDegrees) < widestIntervalStops;
  const evidence = evidenceOf(judged);
  const reason = judged.objection ?? reasonAgainst(judged, { found, narrow, motionPixels });
  if (reason !== undefined) return { verdict: 'cannot-tell', reason, evidence };
  return {
    verdict: narrow ? 'measured' : 'short',
    angleDegrees: narrow ? middleDegrees : undefined,
    interval: { lowDegrees: narrow ? lowDegrees : 0, highDegrees },
    classProbabilities: classes,
    class: found,
    evidence,
  };
}

function mostProbable(probabilities: ClassProbabilities): ShutterClass | undefined {
  return (['short', 'on', 'long'] as const).find((name) => probabilities[name] >= leastClassProbability);
}

function reasonAgainst(
  { posterior, fit }: Judgement,
  said: { readonly found: ShutterClass | undefined; readonly narrow: boolean; readonly motionPixels: number },
): ShutterReason | undefined {
  const { middleDegrees, highDegrees } = posterior;
  if (highDegrees > 360 * openFractions[openFractions.length - 1]! * 0.98) return 'interval-too-wide';
  if (said.found === 'short') return said.motionPixels < leastMotionPixels ? 'too-little-motion' : undefined;
  if (said.narrow) return undefined;
  if ((middleDegrees / 360) * said.motionPixels < leastBlurPixels) return 'too-little-motion';
  return reachedCycles(fit) < detailCycles(fit) / 2 ? 'too-compressed' : 'interval-too-wide';
}

function evidenceOf({ fit, posterior, parts }: Judgement): ShutterEvidence {
  return {
    points: fit.points.map(({ cyclesPerFrame, attenuation, weight }, i) => ({
      cyclesPerFrame,
      attenuation,
      fitted: fit.fitted[i]!,
      weight,
    })),
    parts,
    middleDegrees: posterior.middleDegrees,
    misfit: fit.misfit,
  };
}
