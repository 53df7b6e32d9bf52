import { describe, expect, test } from 'vitest';
import { ownedFilter, type KitFilter } from '../../src/domain/filterKit.ts';

const kit: readonly KitFilter[] = [
  { label: 'ND16', stops: 4 },
  { label: 'CPL', stops: 1.5, polariser: true, spreadStops: 0.29 },
  { label: 'Vari', stops: 2, rangeStops: [2, 5] },
  { label: 'Grad', stops: 3, graduated: true },
];

describe('ownedFilter()', () => {
  test('finds a label in any case, with how far its strength is known', () => {
    expect(ownedFilter(' nd16 ', kit)).toEqual({ label: 'ND16', stops: 4 });
    expect(ownedFilter('cpl', kit)).toEqual({ label: 'CPL', stops: 1.5, spreadStops: 0.29 });
    expect(ownedFilter('ND8', kit)).toBeUndefined();
  });

  test('wants the setting of a variable filter, within its range', () => {
    expect(ownedFilter('Vari', kit)).toMatchObject({ uncountable: expect.stringContaining('Vari@2') });
    expect(ownedFilter('vari@4', kit)).toMatchObject({ label: 'Vari at 4 stops', stops: 4 });
    expect(ownedFilter('Vari@6', kit)).toMatchObject({ uncountable: expect.stringContaining('2 to 5') });
    expect(ownedFilter('ND16@3', kit)).toBeUndefined();
  });

  test('does not count a graduated one', () =>
    expect(ownedFilter('Grad', kit)).toMatchObject({
      uncountable: expect.stringContaining('part of the picture'),
    }));
});
