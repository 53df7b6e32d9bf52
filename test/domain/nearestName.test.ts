import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { nearestName } from '../../src/domain/nearestName.ts';

describe('nearestName()', () => {
  test.each([
    ['kitten.jpg', ['sitting.jpg', 'mitten.jpg'], 'mitten.jpg'],
    ['CLIP01*.MP4', ['AERO0123.MP4', 'CLlP0123.MP4'], 'CLlP0123.MP4'],
    ['DCIM/101/A.JPG', ['DCIM/100/A.JPG', 'A.JPG'], 'DCIM/100/A.JPG'],
    ['A.JPG', [], undefined],
  ])('of %j among %j is %j', (pattern, names, nearest) => {
    expect(nearestName(pattern, names)).toBe(nearest);
  });

  test('of a name that is among them is that name in any case', () => {
    const name = fc.stringMatching(/^[A-Za-z0-9_.]{1,20}$/);
    fc.assert(
      fc.property(fc.uniqueArray(name, { selector: (one) => one.toLowerCase(), minLength: 1 }), (names) => {
        const last = names.at(-1)!;
        expect(nearestName(last.toUpperCase(), names)).toBe(last);
      }),
    );
  });
});
