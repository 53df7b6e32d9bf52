import { framesPerSecond } from '../../domain/frameRate.ts';
import { flickerSafeExposuresSeconds, flickersUnder } from '../../domain/mainsFlicker.ts';
import { exposureSecondsForAngle } from '../../domain/shutter.ts';
import type { Check, Judged } from '../check.ts';

/** Stops, as a standard deviation. 2% of the light are seen in a still scene; common practice, no source. */
const saidStops = 0.03;
/** Stops. A tenth is seen by anyone; common practice, no source. */
const mediumStops = 0.1;

const mainsRates = [50, 60] as const;

/** flicker: consecutive frames differ in brightness. Where lamps on the mains explain it, the shutters that would not. */
export const flicker: Check = (subject) => {
  const flickerStops = subject.measurement?.flickerStops;
  if (flickerStops === undefined || flickerStops <= saidStops) return undefined;
  const mainsHertz = explainingMains(subject);
  const rate = subject.recording.facts.frameRate?.value;
  return {
    kind: 'flicker',
    weight: flickerStops > mediumStops ? 'medium' : 'low',
    flickerStops,
    ...(mainsHertz === undefined || rate === undefined
      ? {}
      : {
          mainsHertz,
          safeExposuresSeconds: nearestFirst(
            flickerSafeExposuresSeconds({ mainsHertz, framesPerSecond: framesPerSecond(rate) }),
            exposureSecondsForAngle({
              angleDegrees: subject.limits.shutterAngleDegrees,
              framesPerSecond: framesPerSecond(rate),
            }),
          ),
        }),
  };
};

/** The mains under which this shutter flickers: as set, or the only one of the two that there are. */
function explainingMains({ recording: { facts }, limits }: Judged): number | undefined {
  const { exposureSeconds, frameRate } = facts;
  if (!exposureSeconds || !frameRate) return undefined;
  const shutter = {
    exposureSeconds: exposureSeconds.value,
    framesPerSecond: framesPerSecond(frameRate.value),
  };
  const candidates = limits.mainsHertz === undefined ? mainsRates : [limits.mainsHertz];
  const explaining = candidates.filter((mainsHertz) => flickersUnder({ ...shutter, mainsHertz }));
  return explaining.length === 1 ? explaining[0] : undefined;
}

/** At most two: those nearest to what the shutter is meant to be. */
function nearestFirst(exposures: readonly number[], targetSeconds: number): readonly number[] {
  const distance = (seconds: number): number => Math.abs(Math.log2(seconds / targetSeconds));
  return exposures.toSorted((a, b) => distance(a) - distance(b)).slice(0, 2);
}
