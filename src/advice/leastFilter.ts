import type { LeastFilterAdvice } from '../domain/advice.ts';
import { framesPerSecond } from '../domain/frameRate.ts';
import { exposureSecondsForAngle, motionBlurSource } from '../domain/shutter.ts';
import { adviseFilter } from './advise.ts';
import type { AdviceSubject } from './excessLight.ts';

/**
 * How much more the filter should have taken at the least, where nothing was recorded and the motion blur tells only what
 * the shutter angle was at most. No filter is named: nobody knows how much more it takes.
 */
export function adviseLeastFilter(subject: AdviceSubject): LeastFilterAdvice | undefined {
  const { recording, measurement } = subject;
  const { exposureSeconds, frameRate } = recording.facts;
  const blur = measurement?.shutter;
  if (exposureSeconds || !frameRate || blur?.verdict !== 'short' || !blur.interval) return undefined;
  const value = exposureSecondsForAngle({
    angleDegrees: blur.interval.highDegrees,
    framesPerSecond: framesPerSecond(frameRate.value),
  });
  const facts = { ...recording.facts, exposureSeconds: { value, source: motionBlurSource } };
  // As if the blur had told the angle.
  const measured = { uncertaintyStops: 0 };
  const advice = adviseFilter({ ...subject, measured, recording: { ...recording, facts } });
  if (advice?.change !== 'stronger') return undefined;
  const { fitted, additionalStops, basis, keepsIso } = advice;
  return { fitted, additionalAtLeastStops: additionalStops, change: 'stronger', basis, keepsIso };
}
