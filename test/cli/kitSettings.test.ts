import { describe, expect, it } from 'vitest';
import { withFilter, withoutFilter } from '../../src/cli/kitSettings.ts';

const text = `# mine
[shutter]
angleDegrees = 180 # half

[[filter]]
label = "ND8"
stops = 3 # as measured

# from here on the strong ones
[[filter]]
label = "ND64"
factor = 64

[mains]
hertz = 50
`;

describe('withFilter()', () => {
  it('adds one at the end and leaves every other character', () => {
    expect(withFilter(text, { label: 'a "b"', stopsRange: [2, 5] })).toBe(
      `${text}\n[[filter]]\nlabel = "a \\"b\\""\nstopsRange = [2, 5]\n`,
    );
    expect(withFilter('', { label: 'ND2', stops: 1 })).toBe('[[filter]]\nlabel = "ND2"\nstops = 1\n');
  });

  it('leaves a file alone that writes its filters in one line', () =>
    expect(
      withFilter('filter = [{ label = "ND2", stops = 1 }]', { label: 'ND4', stops: 2 }),
    ).toBeUndefined());
});

describe('withoutFilter()', () => {
  it('cuts out one filter and keeps comments before the next', () => {
    expect(withoutFilter(text, 0)).toBe(
      text.replace('[[filter]]\nlabel = "ND8"\nstops = 3 # as measured\n\n', ''),
    );
    expect(withoutFilter(text, 1)).toBe(text.replace('[[filter]]\nlabel = "ND64"\nfactor = 64\n\n', ''));
  });

  it('has nothing to cut where there is no such filter, or none that it can find', () => {
    expect(withoutFilter(text, 2)).toBeUndefined();
    expect(withoutFilter('filter = [{ label = "ND2", stops = 1 }]', 0)).toBeUndefined();
  });
});
