import { expect, test } from 'vitest';
import { ev100 } from '../../src/domain/exposure.ts';

test('ev100() is unknown where one of its settings is', () => {
  expect(ev100({ exposureSeconds: 0.01, iso: 100 })).toBeUndefined();
  expect(ev100({ fNumber: 2.8, iso: 100 })).toBeUndefined();
  expect(ev100({ fNumber: 2.8, exposureSeconds: 0.01 })).toBeUndefined();
});
