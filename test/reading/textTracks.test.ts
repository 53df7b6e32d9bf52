import fc from 'fast-check';
import { expect, test } from 'vitest';
import { parseSubRip, parseTelemetryText } from '../../src/reading/textTracks.ts';

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

type Settings = Partial<Record<'exposureSeconds' | 'iso' | 'exposureBiasStops' | 'evAsReadStops', number>>;

/** One cue a second with the settings that are there. */
function settingsText(...each: readonly Settings[]): string {
  const cues = each.map(({ exposureSeconds, iso, exposureBiasStops, evAsReadStops }, at) =>
    cue(
      `00:00:0${at},000`,
      `00:00:0${at + 1},000`,
      [
        exposureSeconds && `shutter 1/${Math.round(1 / exposureSeconds)}`,
        iso && `iso ${iso}`,
        exposureBiasStops !== undefined && `exposure bias ${exposureBiasStops}`,
        evAsReadStops !== undefined && `ev ${evAsReadStops}`,
      ]
        .filter(Boolean)
        .join('; '),
    ),
  );
  return cues.join('');
}

async function meanings(...each: readonly Settings[]): Promise<string[][] | undefined> {
  const { track } = await parseTelemetryText(settingsText(...each), { source });
  return track?.samples.map((sample) => Object.keys(sample).filter((name) => name.endsWith('Stops')));
}

test('an EV that stands still while the camera moves its shutter was dialled in', async () => {
  expect(
    await meanings(
      { exposureSeconds: 1 / 500, iso: 100, evAsReadStops: -0.3 },
      { exposureSeconds: 1 / 1000, iso: 100, evAsReadStops: -0.3 },
    ),
  ).toEqual([['exposureBiasStops'], ['exposureBiasStops']]);
});

test('an EV that moves while shutter and ISO stand still is the reading of the meter', async () => {
  expect(
    await meanings(
      { exposureSeconds: 1 / 60, iso: 100, evAsReadStops: -0.3 },
      { exposureSeconds: 1 / 60, iso: 100, evAsReadStops: 0.7 },
    ),
  ).toEqual([['meteredOffsetStops'], ['meteredOffsetStops']]);
});

test.each([
  ['both move', 1 / 60, 1 / 120, 0, 0.7],
  ['both stand still', 1 / 60, 1 / 60, 0.3, 0.3],
])('where %s it stays as it was read', async (_, first, second, before, after) => {
  expect(
    await meanings(
      { exposureSeconds: first, iso: 100, evAsReadStops: before },
      { exposureSeconds: second, iso: 100, evAsReadStops: after },
    ),
  ).toEqual([['evAsReadStops'], ['evAsReadStops']]);
});

test('without a recorded exposure a moving EV stays as it was read', async () => {
  expect(await meanings({ iso: 100, evAsReadStops: 0 }, { iso: 100, evAsReadStops: 1 })).toEqual([
    ['evAsReadStops'],
    ['evAsReadStops'],
  ]);
});

test('an exposure compensation that is named as such stays beside it', async () => {
  const named = { exposureBiasStops: 0.3, evAsReadStops: -0.3, iso: 100 };
  const { track } = await parseTelemetryText(
    settingsText({ exposureSeconds: 1 / 500, ...named }, { exposureSeconds: 1 / 800, ...named }),
    { source },
  );
  expect(track?.samples[0]).toMatchObject({ exposureBiasStops: 0.3 });
});
