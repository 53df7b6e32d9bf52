import { describe, expect, it, test } from 'vitest';
import { minutesOf, startOfSession } from '../../src/cli/planTime.ts';
import { namedZone } from '../../src/reading/timeZone.ts';

describe('minutesOf()', () => {
  test.each([
    ['90', 90],
    ['90min', 90],
    ['2h', 120],
    ['1h30', 90],
    ['1.5h', 90],
    ['0', 0],
  ])('reads %s as %d minutes', (text, minutes) => {
    expect(minutesOf(text)).toBe(minutes);
  });

  it.each(['long', '', '25h', '-5', '2 days'])('refuses "%s"', (text) => {
    expect(() => minutesOf(text)).toThrow(/--for must be a length/);
  });
});

describe('startOfSession()', () => {
  const clock = { longitude: 11, zoneOffsetAt: namedZone('Europe/Berlin')! };
  // Noon UTC is 14:00 in Berlin in June, in summer time.
  const nowMs = Date.UTC(2026, 5, 1, 12);
  const startOf = (text: string) =>
    new Date(startOfSession(text, nowMs, clock).atMs).toISOString().slice(0, 16);

  test.each([
    ['18:00', '2026-06-01T16:00'],
    ['tomorrow 18:00', '2026-06-02T16:00'],
    ['today 9:00', '2026-06-01T07:00'],
    // It has passed today, so tomorrow's is meant.
    ['9:00', '2026-06-02T07:00'],
    ['2026-12-01T10:30', '2026-12-01T09:30'],
    ['2026-06-01T10:30+05:00', '2026-06-01T05:30'],
  ])('takes %s for %s UTC', (text, moment) => {
    expect(startOf(text)).toBe(moment);
  });

  it('says which zone it took', () => {
    expect(startOfSession('18:00', nowMs, clock)).toMatchObject({ offsetMinutes: 120, basis: 'named-zone' });
  });

  it.each(['noon', '25:00', 'yesterday 10:00'])('refuses "%s"', (text) => {
    expect(() => startOf(text)).toThrow(/--at must be a time/);
  });
});
