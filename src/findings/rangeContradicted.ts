import { z } from 'zod';
import type { RangeName } from '../domain/recording.ts';
import { finding } from './finding.ts';

const rangeText: Readonly<Record<RangeName, string>> = {
  narrow: 'narrow range (16 to 235 of 8 bits)',
  full: 'full range (0 to 255 of 8 bits)',
};

export const rangeContradicted = finding({
  kind: 'range-contradicted',
  data: z.object({ recorded: z.enum(['narrow', 'full']), used: z.enum(['narrow', 'full']) }),
  topic: 'range',
  title: 'signal range not as the file says',
  check: ({ recording, measurement }) => {
    const recorded = recording.facts.range?.value;
    const used = measurement?.rangeInUse;
    if (recorded === undefined || used?.basis !== 'codes' || used.name === recorded) return undefined;
    return { weight: 'medium', recorded, used: used.name };
  },
  sentence: ({ recorded, used }) =>
    `The file says that its picture is in ${rangeText[recorded]}, but its codes are in ${rangeText[used]}. ` +
    `It was measured by its codes; programs that believe the file show ${recorded === 'full' ? 'grey blacks and dull whites' : 'shadows and highlights cut off'}.`,
  remedy: ({ used }) => ({ inTheEdit: `Set the clip to ${used} range in the editing program.` }),
  meaning:
    'The file names one signal range and its picture uses the other. Programs that believe the file show grey blacks, or cut ' +
    'off shadows and highlights that are there.',
  limit: {
    at: 'the codes of the picture lie in the other range than the one the file names',
    reason: 'black and white lie at other codes in each: 16 and 235, or 0 and 255, of 8 bits',
    source: 'Recommendation ITU-R BT.2100, table 9',
  },
  example: { weight: 'medium', recorded: 'narrow', used: 'full' },
});
