import { readFileSync } from 'node:fs';
import { describe, expect, it, test } from 'vitest';
import { exportedText, parseExported } from '../../src/document/loggedFlight.ts';
import { madeFlight } from '../logbook/madeFlight.ts';

describe('an export', () => {
  it('is read again as it was', () => {
    const flights = [madeFlight(1, 3), madeFlight(2, 2)];
    expect(parseExported([...exportedText(flights)].join(''), 'export.json')).toEqual({
      flights,
      leftOut: 0,
    });
    expect(parseExported([...exportedText([])].join(''), 'export.json')).toEqual({ flights: [], leftOut: 0 });
  });
  // By the first version that kept a logbook, cut to two recordings.
  it('of the first version is read whole', () => {
    const text = readFileSync(new URL('../logbook/fixtures/export-1.json', import.meta.url), 'utf8');
    const { flights, leftOut } = parseExported(text, 'export-1.json');
    expect(leftOut).toBe(0);
    expect(flights).toMatchObject(JSON.parse(text).flights);
  });
  it('is read without values that no recording can have, one by one', () => {
    const flight = madeFlight(1, 2);
    const wild = { sensorEv100: 1e300, sunElevationDegrees: 5000, recordedAt: 'soon', atMs: -1 };
    const recordings = [{ ...flight.recordings[0]!, ...wild }, flight.recordings[1]!];
    const read = parseExported([...exportedText([{ ...flight, recordings }])].join(''), 'export.json');
    expect(read.leftOut).toBe(4);
    const { sensorEv100, sunElevationDegrees, recordedAt, atMs, ...others } = flight.recordings[0]!;
    expect([sensorEv100, sunElevationDegrees, recordedAt, atMs]).not.toContain(undefined);
    expect(read.flights[0]!.recordings).toEqual([others, flight.recordings[1]]);
  });
  test.each([
    ['not JSON', '{', /is no JSON/],
    ['another format', '{"format": "halfturn-audit"}', /is no export of a logbook: format/],
    [
      'a wrong kind',
      [...exportedText([madeFlight(1, 1)])].join('').replace('"clip"', '"film"'),
      /flights\.0\.recordings\.0\.kind/,
    ],
  ])('is refused where it is %s', (_, text, message) => {
    expect(() => parseExported(text, 'export.json')).toThrow(message);
  });
});
