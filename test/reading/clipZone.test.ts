import { describe, expect, test } from 'vitest';
import { mergeReadings } from '../../src/reading/mergeReadings.ts';
import { sighting } from '../../src/reading/sighting.ts';
import { textClock } from '../../src/reading/textTracks.ts';

/** A clip of 90 s whose text and container hold these times. */
function recordedAt(local: string, container: string, longitude?: number) {
  const sightings = [
    sighting('recordedAt', local, 'timed-track', 'text track 1'),
    sighting('recordedAt', container, 'container-tag', 'container tag creation_time'),
    sighting('durationSeconds', 90, 'stream', 'stream duration'),
    ...(longitude === undefined ? [] : [sighting('longitude', longitude, 'timed-track', 'text track 1')]),
  ];
  const { facts, refusals } = mergeReadings([{ sightings, refusals: [] }]);
  return {
    value: facts.recordedAt?.value,
    source: facts.recordedAt?.source,
    refused: refusals.map(({ raw }) => raw),
  };
}

describe("the container's clock gives the zone of a text's local time", () => {
  // Worked by hand: 18:22:41 less 01:22:30 is 17 h 0 min 11 s before, a zone of -7 h at 121.7 degrees west.
  test.each([
    ['2024-07-09T18:22:41.183', '2024-07-10T01:22:30Z', -121.7, '2024-07-09T18:22:41.183-07:00'],
    // Written at the end of the clip.
    ['2024-07-09T18:22:41', '2024-07-10T01:24:11Z', -121.7, '2024-07-09T18:22:41-07:00'],
    ['2024-07-09T12:00:00', '2024-07-09T06:15:00Z', 85.3, '2024-07-09T12:00:00+05:45'],
    ['2024-07-09T12:00:00', '2024-07-09T12:00:02Z', -3.2, '2024-07-09T12:00:00+00:00'],
    ['2024-07-09T12:00:00', '2024-07-09T10:00:00Z', 13.4, '2024-07-09T12:00:00+02:00'],
  ])('%s beside %s at %f degrees', (local, container, longitude, zoned) => {
    expect(recordedAt(local, container, longitude)).toEqual({
      value: zoned,
      source: 'text track 1, zone by container tag creation_time',
      refused: [],
    });
  });
});

describe("the text's local time stays without a zone", () => {
  test.each([
    // Local time in the container as well, far from longitude 0.
    ['2024-07-09T18:22:41', '2024-07-09T18:22:41Z', -121.7],
    // Seven minutes are left over.
    ['2024-07-09T18:22:41', '2024-07-10T01:29:41Z', -121.7],
    // A zone, and not that of the place.
    ['2024-07-09T18:22:41', '2024-07-09T16:22:41Z', -121.7],
    // Another day.
    ['2024-07-09T18:22:41', '2024-07-11T01:22:41Z', -121.7],
  ])('%s beside %s at %f degrees', (local, container, longitude) => {
    const { value, refused } = recordedAt(local, container, longitude);
    expect(value).toBe(local);
    expect(refused).toEqual([container]);
  });

  test('where no longitude bears it out', () => {
    expect(recordedAt('2024-07-09T18:22:41', '2024-07-10T01:22:41Z').value).toBe('2024-07-09T18:22:41');
  });
});

describe('a clock line is read', () => {
  test.each([
    ['2024-07-09 18:22:41.183', 0, '2024-07-09T18:22:41.183'],
    ['2024-07-09 18:22:41,183,402', 0.033, '2024-07-09T18:22:41.150402'],
    ['HOME(-3.2,51.0) 2017.08.05 14:11:51', 1, '2017-08-05T14:11:50'],
    ['2017.8.5 14:11:51', 0, '2017-08-05T14:11:51'],
    ['2024/07/09 00:00:00', 1, '2024-07-08T23:59:59'],
    ['2024-07-09T18:22:41+02:00', 0, '2024-07-09T18:22:41+02:00'],
  ])('%s, %f s into the clip', (text, passed, expected) => {
    expect(textClock(text, passed)).toEqual({ recordedAt: expected });
  });

  test.each(['2000-00-00 12:00:01', '2024-02-30 10:00:00', '1970-01-01 00:00:10', '2024-07-09 25:00:00'])(
    '%s is refused',
    (text) => {
      expect(textClock(text, 0)).toEqual(
        expect.objectContaining({ raw: text, reason: expect.any(String) as string }),
      );
    },
  );

  test.each(['05.08.2017 14:11:51', '12024-07-09 18:22:41', 'v1.2024.07.09', '2024-07.09 18:22:41'])(
    '%s is passed over',
    (text) => expect(textClock(text, 0)).toBeUndefined(),
  );
});
