import { z } from 'zod';
import { counted } from '../domain/format.ts';
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
    return changed.length === 0 ? undefined : { weight: 'medium', settings: changed };
  },
  sentence: ({ settings: changed }) =>
    `Within the bracket ${changed.join(' and ')} changed: only the exposure time may, or the frames differ in ` +
    `${changed.includes('aperture') ? 'sharpness' : 'noise'} and do not merge cleanly (${counted(changed.length, 'setting')} moved).`,
  remedy: () => ({
    inTheEdit: 'Merge without the frames that differ, or accept seams.',
    nextTime: 'Set aperture and ISO by hand, so that the bracket changes the exposure time only.',
  }),
  meaning:
    'Within the bracket more than the exposure time changed. Another aperture shifts the depth of field and another ISO the ' +
    'noise, so the frames do not merge cleanly.',
  limit: { at: noLimit, reason: 'two values of aperture or ISO were recorded', source: 'none is needed' },
  example: { weight: 'medium', settings: ['ISO'] },
});
