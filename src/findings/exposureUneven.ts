import { z } from 'zod';
import { wayMetres } from '../domain/cameraWay.ts';
import { stopsInWords } from '../domain/format.ts';
import { stillStops, type MappingFlight, type Panorama } from '../domain/sequence.ts';
import { quantile } from '../domain/statistics.ts';
import { commonPractice, finding, type JudgedSequence } from './finding.ts';

/** Programs that put pictures together even out less without a trace; common practice, no source. */
const remarkedStops = 0.5;
const flaggedStops = 1.5;
/** A tenth of the pictures at either end is left out. */
const ends = [0.1, 0.9] as const;

const purposes = { mapping: 'the map', panorama: 'the panorama' } as const;

export const exposureUneven = finding({
  kind: 'exposure-uneven',
  data: z.object({ spanStops: z.number(), of: z.enum(['mapping', 'panorama']) }),
  topic: 'exposure',
  title: 'exposure uneven between the pictures',
  check: ({ sequence }: JudgedSequence) => {
    if (sequence.kind !== 'mapping' && sequence.kind !== 'panorama') return undefined;
    if (isOfManyLenses(sequence)) return undefined;
    const stops = sequence.members.flatMap(({ facts }) => stillStops(facts) ?? []);
    const [low, high] = ends.map((end) => quantile(stops, end));
    if (low === undefined || high === undefined || high - low <= remarkedStops) return undefined;
    return {
      weight: high - low > flaggedStops ? 'medium' : 'low',
      spanStops: high - low,
      of: sequence.kind,
    };
  },
  sentence: ({ spanStops, of }) =>
    `The exposure was set from picture to picture, over ${stopsInWords(spanStops)}: ${purposes[of]} can show patches of unlike brightness.`,
  remedy: ({ of }) => ({
    inTheEdit: `Let the program that makes ${purposes[of]} even out the brightness.`,
    nextTime: 'Set exposure time, ISO and white balance by hand before the first picture.',
  }),
  meaning:
    'The pictures of a mapping flight or a panorama were exposed differently. Put together, the same ground or sky changes its ' +
    'brightness from one picture to the next.',
  limit: {
    at: `more than ${remarkedStops} stop between the settings, a tenth of the pictures at either end left out; flagged above ${flaggedStops}`,
    reason: 'less is evened out without a trace',
    source: commonPractice,
  },
  example: { weight: 'low', spanStops: 1, of: 'mapping' },
});

/** Lenses for different colours take one place at once, each with an exposure of its own. */
function isOfManyLenses({ kind, members }: MappingFlight | Panorama): boolean {
  if (kind === 'panorama') return false;
  const alike = members.slice(1).filter(({ facts }, at) => wayMetres(members[at]!.facts, facts) === 0);
  return alike.length * 2 >= members.length;
}
