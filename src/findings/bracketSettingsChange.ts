import { z } from 'zod';
import { counted } from '../domain/format.ts';
import { finding, noLimit, type JudgedSequence } from './finding.ts';

const settings = { aperture: 'fNumber', ISO: 'iso' } as const;
const names = ['aperture', 'ISO'] as const;

export const bracketSettingsChange = finding({
  kind: 'bracket-settings-change',
  data: z.object({ frames: z.number(), settings: z.array(z.enum(names)).readonly() }),
  topic: 'bracket',
  title: 'settings change within the bracket',
  check: ({ sequence }: JudgedSequence) => {
    if (sequence.kind !== 'bracket') return undefined;
    const changed = names.filter(
      (name) => new Set(sequence.members.flatMap(({ facts }) => facts[settings[name]]?.value ?? [])).size > 1,
    );
    if (changed.length === 0) return undefined;
    return {
      weight: changed.includes('aperture') ? 'medium' : 'low',
      frames: sequence.members.length,
      settings: changed,
    };
  },
  sentence: ({ frames, settings: changed }) =>
    changed.includes('aperture')
      ? `Within these ${counted(frames, 'frame')} ${changed.join(' and ')} changed: they differ in sharpness and do not merge cleanly.`
      : `The ISO moved within these ${counted(frames, 'frame')}: they merge, but what the ISO brightened holds more noise, not more light.`,
  remedy: ({ settings: changed }) => ({
    inTheEdit: changed.includes('aperture')
      ? 'Merge without the frames that differ, or accept seams.'
      : 'Merge with noise reduction on the bright frames.',
    nextTime: 'Set aperture and ISO by hand, so that the bracket changes the exposure time only.',
  }),
  meaning:
    'Within the bracket more than the exposure time changed. Another aperture shifts the depth of field, so the frames do not ' +
    'merge cleanly; another ISO brings noise instead of light.',
  limit: {
    at: noLimit,
    reason: 'two values of aperture or ISO were recorded; of ISO alone, a remark',
    source: 'none is needed',
  },
  example: { weight: 'low', frames: 5, settings: ['ISO'] },
});
