import { expect, it } from 'vitest';
import { z } from 'zod';
import { parseTomlAs } from '../../src/reading/toml.ts';

const schema = z.strictObject({
  name: z.string().optional(),
  shutter: z.strictObject({ angle: z.number().gt(0).max(360).optional() }).optional(),
  pair: z.tuple([z.number(), z.number()]).optional(),
  mains: z.strictObject({ hertz: z.union([z.literal(50), z.literal(60)]) }).optional(),
  filter: z
    .array(
      z.strictObject({
        label: z.string(),
        kind: z.enum(['nd', 'graduated']).optional(),
        stops: z.number().min(0).max(30).optional(),
        polariser: z.boolean().optional(),
      }),
    )
    .optional(),
});

const complaint = (text: string): string => {
  try {
    parseTomlAs(schema, text, 'a.toml');
    return 'none';
  } catch (error) {
    return (error as Error).message;
  }
};

it.each([
  ['name = "x"\n\n[shutter]\nangle = 180\n', 'none'],
  [
    'name = "x"\n\n[shutter]\nangel = 180\n',
    'a.toml, line 4: unknown key "angel" in shutter; allowed there: angle.',
  ],
  [
    'angle = 180\n',
    'a.toml, line 1: unknown key "angle" at the top; allowed there: name, shutter, pair, mains, filter.',
  ],
  [
    '# wide\n[shutter]\nangle = "wide"\n',
    'a.toml, line 3: shutter.angle must be a number above 0 and at most 360, but is "wide".',
  ],
  ['shutter = 3\n', 'a.toml, line 1: shutter must be a table, written as [shutter], but is 3.'],
  ['pair = [1]\n', 'a.toml, line 1: pair must be a list of 2 numbers, such as [-0.7, 0], but is [1].'],
  ['[mains]\nhertz = 55\n', 'a.toml, line 2: mains.hertz must be 50 or 60, but is 55.'],
  [
    '[[filter]]\nlabel = "A"\nstops = 3\n\n[[filter]]\nlabel = "B"\nstops = 40\n',
    'a.toml, line 7: filter[2].stops must be a number from 0 to 30, but is 40.',
  ],
  ['[[filter]]\nstops = 3\n', 'a.toml, line 1: filter[1].label must be text in quotes, but is missing.'],
  [
    '[filter]\nlabel = "A"\n',
    'a.toml, line 1: filter must be written as [[filter]], once for each, but is {"label":"A"}.',
  ],
  [
    '[[filter]]\nlabel = "A"\nkind = "dark"\n',
    'a.toml, line 3: filter[1].kind must be one of "nd", "graduated", but is "dark".',
  ],
  [
    '[[filter]]\nlabel = "A"\npolariser = 1\n',
    'a.toml, line 3: filter[1].polariser must be true or false, but is 1.',
  ],
  ['[shutter\nangle = 180\n', 'a.toml, line 1: "[shutter" cannot be understood.'],
  ['name = "x"\nname = "y"\n', 'a.toml, line 2: "name = "y"" says something a second time.'],
])('%j: %s', (text, said) => {
  expect(complaint(text)).toBe(said);
});
