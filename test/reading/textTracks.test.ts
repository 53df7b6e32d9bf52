import fc from 'fast-check';
import { expect, test } from 'vitest';
import { parseSubRip } from '../../src/reading/subRip.ts';
import { parseTelemetryText } from '../../src/reading/textTracks.ts';

const source = 'SubRip sidecar A.SRT';
const cue = (start: string, end: string, text: string): string => `1\n${start} --> ${end}\n${text}\n\n`;

test('parseSubRip() reads times and text', () => {
  expect([...parseSubRip('1\n00:00:01,500 --> 01:02:03,004\na\nb\n\n2\n00:00:02,5 --> 00:00:03\nc')]).toEqual(
    [
      { startSeconds: 1.5, endSeconds: 3723.004, text: 'a\nb' },
      { startSeconds: 2.5, endSeconds: 3, text: 'c' },
    ],
  );
});

test('parseSubRip() does without numbers, with byte order mark, CRLF, blank lines inside a cue and "." for ","', () => {
  const text = '\uFEFF00:00:00.000 --> 00:00:01.000\r\na\r\n\r\nb\r\n00:00:01.000 --> 00:00:02.000\r\nc\r\n';
  expect([...parseSubRip(text)].map((one) => one.text)).toEqual(['a\n\nb', 'c']);
});

test('parseSubRip() never gives more than 100,000 cues', () => {
  expect([...parseSubRip(cue('00:00:00,000', '00:00:01,000', 'a').repeat(100_001))]).toHaveLength(100_000);
});

test('parseSubRip() takes any text', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'binary' }), (text) => {
      for (const one of parseSubRip(`00:00:01,000 --> 00:00:00,500\n${text}`)) {
        expect(one.endSeconds).toBeGreaterThanOrEqual(one.startSeconds);
      }
    }),
  );
});

test('a track gives samples in order, and the median of each fact for the clip', async () => {
  const text =
    cue('00:00:02,000', '00:00:03,000', 'iso 400 shutter 1/200') +
    cue('00:00:00,000', '00:00:01,500', 'iso 100 shutter 1/50 latitude 47.5 longitude 8.5') +
    cue('00:00:01,000', '00:00:02,000', 'iso 100 shutter 1/100 latitude 47.6 longitude 8.6');
  const { track, sightings, refusals } = await parseTelemetryText(text, { source });
  expect(track?.samples.map(({ startSeconds, endSeconds }) => [startSeconds, endSeconds])).toEqual([
    [0, 1],
    [1, 2],
    [2, 3],
  ]);
  expect(sightings).toContainEqual({
    fact: 'exposureSeconds',
    value: 1 / 100,
    carrier: 'timed-track',
    source: `${source}, median of 3 samples`,
  });
  expect(sightings).toContainEqual(expect.objectContaining({ fact: 'iso', value: 100 }));
  expect(sightings).toContainEqual(expect.objectContaining({ fact: 'latitude', value: 47.5 }));
  expect(refusals).toEqual([]);
});

test('0, 0 is no place: the receiver had no fix', async () => {
  const text =
    cue('00:00:00,000', '00:00:01,000', 'iso 100 latitude 0.000000 longitude 0.000000 altitude 0.0') +
    cue('00:00:01,000', '00:00:02,000', 'latitude 0 longitude 0') +
    cue('00:00:02,000', '00:00:03,000', 'iso 100 latitude 47.5 longitude 0 altitude 12');
  const { track, sightings, refusals } = await parseTelemetryText(text, { source });
  expect(track?.samples).toEqual([
    { startSeconds: 0, endSeconds: 1, iso: 100 },
    { startSeconds: 2, endSeconds: 3, iso: 100, latitude: 47.5, longitude: 0, altitudeMetres: 12 },
  ]);
  expect(sightings).toContainEqual(expect.objectContaining({ fact: 'latitude', value: 47.5 }));
  expect(sightings).toContainEqual(expect.objectContaining({ fact: 'altitudeMetres', value: 12 }));
  expect(refusals).toEqual([expect.objectContaining({ what: 'latitude', raw: '0, 0', source })]);
});

test('subtitles of spoken words are no track', async () => {
  const reading = await parseTelemetryText(
    cue('00:00:00,000', '00:00:01,000', 'Look at the iris over there.'),
    {
      source,
    },
  );
  expect(reading.track).toBeUndefined();
  expect(reading.sightings).toEqual([]);
  expect(reading.refusals).toEqual([
    expect.objectContaining({ what: 'telemetry', raw: 'Look at the iris over there.' }),
  ]);
});

test('a fault that repeats in every cue is said once', async () => {
  const text = cue('00:00:00,000', '00:00:01,000', 'iso 0').repeat(1000);
  expect((await parseTelemetryText(text, { source })).refusals).toHaveLength(1);
});
