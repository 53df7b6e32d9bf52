import { z } from 'zod';
import { stopsInWords } from '../domain/format.ts';
import { stillStops } from '../domain/sequence.ts';
import { commonPractice, finding, type JudgedSequence } from './finding.ts';

/** Third-stop steps between two frames are seen as flicker when played; marks are rounded by less. */
const stepStops = 0.25;

export const seriesExposureSteps = finding({
  kind: 'series-exposure-steps',
  data: z.object({ count: z.number(), largestStops: z.number() }),
  topic: 'series',
  title: 'exposure steps in the series',
  check: ({ sequence }: JudgedSequence) => {
    if (sequence.kind !== 'interval') return undefined;
    const exposures = sequence.members.map(({ facts }) => stillStops(facts));
    const steps = exposures.slice(1).flatMap((stops, index) => {
      const before = exposures[index];
      return stops === undefined || before === undefined ? [] : Math.abs(stops - before);
    });
    const visible = steps.filter((stops) => stops > stepStops);
    if (visible.length === 0) return undefined;
    return { weight: 'medium', count: visible.length, largestStops: Math.max(...visible) };
  },
  sentence: ({ count, largestStops }) =>
    `The exposure settings step ${count === 1 ? 'once' : `${count} times`} from one frame to the next, by ${stopsInWords(largestStops)} at most: ` +
    'the played series flickers.',
  remedy: ({ largestStops }) => ({
    inTheEdit: `Even the brightness out, by up to ${stopsInWords(largestStops)} a frame, before you render.`,
    nextTime: 'Set exposure time, ISO, aperture and white balance by hand.',
  }),
  meaning: 'The settings changed from one frame to the next, so the played series flickers.',
  limit: {
    at: `more than ${stepStops} stop between two frames`,
    reason: 'third-stop steps are seen as flicker when played, and marks are rounded by less',
    source: commonPractice,
  },
  example: { weight: 'medium', count: 3, largestStops: 0.7 },
});
