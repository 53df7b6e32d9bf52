import { describe, expect, it } from 'vitest';
import { localTime, momentOf } from '../../src/domain/localTime.ts';

describe('momentOf()', () => {
  const zoneOffsetAt = () => 120;
  it('takes a recorded offset as it is', () => {
    const found = momentOf({ recordedAt: '2026-05-14T12:00:00-03:30', longitude: 0, zoneOffsetAt });
    expect(found).toEqual({ atMs: Date.UTC(2026, 4, 14, 15, 30), offsetMinutes: -210, basis: 'recorded' });
  });
  it("assumes this computer's zone where the longitude allows it, or is not known", () => {
    for (const longitude of [15, -4, undefined])
      expect(momentOf({ recordedAt: '2026-05-14T12:00:00', longitude, zoneOffsetAt })).toEqual({
        atMs: Date.UTC(2026, 4, 14, 10),
        offsetMinutes: 120,
        basis: 'computer-zone',
      });
  });
  it('else that of the longitude, also across the date line', () => {
    const found = momentOf({ recordedAt: '2026-05-14T12:00:00', longitude: -126.7, zoneOffsetAt });
    expect(found).toMatchObject({ offsetMinutes: -480, basis: 'longitude-zone' });
    expect(
      momentOf({ recordedAt: '2026-05-14T12:00:00', longitude: -179, zoneOffsetAt: () => 720 }),
    ).toMatchObject({ basis: 'computer-zone' });
  });
  it.each([
    '',
    'yesterday',
    '2026-13-40T99:00:00',
    '2026-02-31T10:00:00',
    '2026-05-14',
    '2026-05-14T10:00:00+14:01',
  ])('knows nothing of %j', (recordedAt) => {
    expect(momentOf({ recordedAt, zoneOffsetAt })).toBeUndefined();
  });
});

describe('localTime()', () => {
  it('puts a time in UTC into the zone of the flight, also into another day', () => {
    const zoneOffsetAt = () => 120;
    const at = (recordedAt: string, longitude: number) => localTime({ recordedAt, longitude, zoneOffsetAt });
    expect(at('2026-01-15T01:40:00Z', -126.7)).toBe('2026-01-14T17:40:00-08:00');
    expect(at('2026-01-15T01:40:00Z', 20)).toBe('2026-01-15T03:40:00+02:00');
  });
  it.each(['2026-01-15T01:40:00+09:30', '2026-01-15T01:40:00', 'yesterdayZ'])(
    'leaves %j as it is',
    (text) => {
      expect(localTime({ recordedAt: text, longitude: 20, zoneOffsetAt: () => 120 })).toBe(text);
    },
  );
});
