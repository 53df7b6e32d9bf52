import { z } from 'zod';
import { finding, noLimit, type JudgedSequence } from './finding.ts';

const settings = { aperture: 'fNumber', ISO: 'iso' } as const;
const names = ['aperture', 'ISO'] as const;

export const bracketSettingsChange = finding({
  kind: 'bracket-settings-change',
  data: z.object({ settings: z.array(z.enum(names)).readonly() }),
  topic: 'bracket',
  title: 'settings change within the bracket',
  check: ({ sequence }: JudgedSequence) => {
    if (sequence.kind !== 'bracket') return undefined;
    const changed = names.filter(
      (name) => new Set(sequence.members.flatMap(({ facts }) => facts[settings[name]]?.value ?? [])).size > 1,
    );
    if (changed.length === 0) return undefined;
    return { weight: changed.includes('aperture') ? 'medium' : 'low', settings: changed };
  },
  sentence: ({ settings: changed }) =>
    changed.includes('aperture')
      ? `Within the bracket ${changed.join(' and ')} changed: the frames differ in sharpness and do not merge cleanly.`
      : 'The ISO moved within the bracket: it merges, but frames that the ISO brightened hold more noise, not more light.',
  remedy: ({ settings: changed }) => ({
    inTheEdit: changed.includes('aperture')
      ? 'Merge without the frames that differ, or accept seams.'
      : 'Merge with noise reduction on the bright frames.',
    nextTime: 'Set aperture and ISO by hand, so that the bracket changes the exposure time only.',
  }),
  meaning:
    'Within the bracket more than the exposure time changed. Another aperture shifts the depth of field and another ISO the ' +
    'noise, so the frames do not merge cleanly.',
  limit: {
    at: noLimit,
    reason: 'two values of aperture or ISO were recorded; of ISO alone, a remark',
    source: 'none is needed',
  },
  example: { weight: 'medium', settings: ['ISO'] },
});
