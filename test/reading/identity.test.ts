import { expect, test } from 'vitest';
import { provesUnchanged } from '../../src/reading/identity.ts';

const second = 1_000_000_000n;
const nowMs = 1_800_000_000_000;
const now = BigInt(nowMs) * 1_000_000n;

test('provesUnchanged() trusts a change time that the system set when a file was copied with its old time', () => {
  expect(provesUnchanged({ mtimeNs: now - 9000n * second, ctimeNs: now - 60n * second }, nowMs)).toBe(true);
});

test('provesUnchanged() does not trust a file that may have changed within the same step of the clock', () => {
  expect(provesUnchanged({ mtimeNs: now - 9000n * second, ctimeNs: now - second }, nowMs)).toBe(false);
  expect(provesUnchanged({ mtimeNs: now - 9000n * second, ctimeNs: now + second }, nowMs)).toBe(false);
});

test('provesUnchanged() does not trust a change time that was made up: none at all, or before the last write', () => {
  expect(provesUnchanged({ mtimeNs: now - 60n * second, ctimeNs: 0n }, nowMs)).toBe(false);
  expect(provesUnchanged({ mtimeNs: -second, ctimeNs: -second }, nowMs)).toBe(false);
  expect(provesUnchanged({ mtimeNs: now - 60n * second, ctimeNs: now - 61n * second }, nowMs)).toBe(false);
});
