import { z } from 'zod';
import { formatExposure, formatPercent } from '../domain/format.ts';
import { framesPerSecond } from '../domain/frameRate.ts';
import { flickerSafeExposuresSeconds, flickersUnder, exposureSecondsForAngle } from '../domain/shutter.ts';
import { viewChanges } from './exposurePumps.ts';
import { commonPractice, finding, type Judged } from './finding.ts';

/** Stops, as a standard deviation. 2% of the light are seen in a still scene; common practice, no source. */
const leastStops = 0.03;
/** Stops. A tenth is seen by anyone; common practice, no source. */
const mediumStops = 0.1;

const mainsRates = [50, 60] as const;

export const flicker = finding({
  kind: 'flicker',
  data: z.object({
    /** Standard deviation from frame to frame. */
    flickerStops: z.number(),
    /** The mains that explain it, where they do. */
    mainsHertz: z.number().optional(),
    safeExposuresSeconds: z.array(z.number()).readonly().optional(),
  }),
  topic: 'flicker',
  title: 'flicker',
  check: (judged) => {
    const { measurement } = judged;
    const flickerStops = measurement?.flickerStops ?? 0;
    if (measurement === undefined || flickerStops <= leastStops) return undefined;
    if (measurement.noScene !== undefined || viewChanges(measurement)) return undefined;
    const weight = flickerStops > mediumStops ? 'medium' : 'low';
    const mainsHertz = explainingMains(judged);
    const rate = judged.recording.facts.frameRate?.value;
    if (mainsHertz === undefined || rate === undefined) return { weight, flickerStops };
    const shutter = {
      framesPerSecond: framesPerSecond(rate),
      angleDegrees: judged.limits.shutterAngleDegrees,
    };
    const safe = flickerSafeExposuresSeconds({ mainsHertz, framesPerSecond: shutter.framesPerSecond });
    const safeExposuresSeconds = nearestFirst(safe, exposureSecondsForAngle(shutter));
    return { weight, flickerStops, mainsHertz, safeExposuresSeconds };
  },
  sentence: ({ flickerStops, mainsHertz, safeExposuresSeconds = [] }) => {
    const what = `The brightness flickers by ${formatPercent(2 ** flickerStops - 1)} from frame to frame`;
    if (mainsHertz === undefined)
      return `${what}. What it comes from is not known: lamps or the exposure itself.`;
    const advice =
      safeExposuresSeconds.length === 0
        ? 'No shutter is free of it at this frame rate.'
        : `${orOf(safeExposuresSeconds)} would be free of it.`;
    return `${what}, as lamps on ${mainsHertz} Hz mains make it do at this shutter. ${advice}`;
  },
  remedy: ({ safeExposuresSeconds = [] }) => ({
    inTheEdit: 'Use a deflicker filter before anything else is done to the clip.',
    nextTime:
      safeExposuresSeconds.length === 0 ? undefined : `Set ${orOf(safeExposuresSeconds)} under these lamps.`,
  }),
  meaning:
    'Consecutive frames differ in brightness, so the picture flickers when it plays. Lamps on the mains do that at shutters ' +
    'that do not fit their pulse.',
  limit: {
    at: `more than ${leastStops} stop (2% of the light) from frame to frame, as a standard deviation, in a picture that hardly moves; flagged from ${mediumStops} stop`,
    reason: '2% of the light are seen in a still scene, a tenth of a stop is seen by anyone',
    source: commonPractice,
  },
  example: { weight: 'medium', flickerStops: 0.15, mainsHertz: 50, safeExposuresSeconds: [1 / 50, 1 / 100] },
});

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

function orOf(exposures: readonly number[]): string {
  return exposures.map(formatExposure).join(' or ');
}
