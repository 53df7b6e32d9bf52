import { z } from 'zod';
import { formatPercent } from '../domain/format.ts';
import { defaultLimits } from '../domain/limits.ts';
import { finding } from './finding.ts';

export const shadowsCrushed = finding({
  kind: 'shadows-crushed',
  data: z.object({ maxFraction: z.number() }),
  topic: 'shadows',
  title: 'shadows crushed',
  check: ({ measurement, limits }) => {
    if (!measurement || measurement.noScene !== undefined) return undefined;
    if (measurement.crushedFraction.max <= limits.clippedFraction) return undefined;
    return { weight: 'low', maxFraction: measurement.crushedFraction.max };
  },
  sentence: ({ maxFraction }, { recordingKind }) =>
    `Pure black fills ${recordingKind === 'still' ? '' : 'up to '}${formatPercent(maxFraction)} of the picture; no detail is left there.`,
  remedy: () => ({ inTheEdit: 'What is black stays black: lifting it shows noise and blocks only.' }),
  meaning: 'A part of the picture is pure black and holds no detail. Black may be meant, so it is a remark.',
  limit: {
    at: `more than ${formatPercent(defaultLimits.clippedFraction)} of the picture`,
    reason: 'the same area is accepted below the range as above it',
    source: 'EBU R 103 (versions 2 and 3)',
  },
  example: { weight: 'low', maxFraction: 0.06 },
});
