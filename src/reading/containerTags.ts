import { displayText } from '../domain/displayText.ts';
import { frameRateFromNumber } from '../domain/frameRate.ts';
import type { FactName, FactValues } from '../domain/recording.ts';
import { cameraName, exposureWords, isFirmwareVersion } from './captureFacts.ts';
import { tagsOf, type Probed, type ProbedStream } from './ffprobe.ts';
import { parseIso6709 } from './iso6709.ts';
import { containerTime } from './recordedTime.ts';
import { combinedReadings, emptyReading, sighting, type FactSighting, type Reading } from './sighting.ts';
import { plausibleRate } from './streamRate.ts';
import { valueReader } from './telemetryPairs.ts';

type Tags = ReadonlyMap<string, string>;

/** Facts from the tags of a clip's container and of its picture stream, which override them. */
export function containerTags(probed: Probed, stream: ProbedStream | undefined): Reading {
  const tags: Tags = new Map([...tagsOf(probed.format), ...tagsOf(stream)]);
  const reading = combinedReadings([
    firstBelieved(tags, timeTags, recordedAt),
    firstBelieved(tags, placeTags, place),
    captureRate(tags),
    camera(tags),
    exposure(tags),
    wordTags(tags),
  ]);
  return { ...reading, writtenBy: writtenBy(tags) };
}

/** A general muxing library, or the software that a QuickTime file names, where that is not the camera's own. */
function writtenBy(tags: Tags): string | undefined {
  const muxer = tags.get('encoder');
  const software = first(tags, ['com.apple.quicktime.software', 'software']);
  const [tag, text] = /^lav[fc]\d/i.test(muxer ?? '') ? ['encoder', muxer!] : (software ?? []);
  if (tag === undefined || isFirmwareVersion(text ?? '')) return undefined;
  return `container tag ${tag} "${shown(text ?? '').slice(0, 80)}"`;
}

function readingOf(sightings: readonly FactSighting[]): Reading {
  return { sightings, refusals: [] };
}

function refused(what: FactName, [tag, text]: Tag, reason: string): Reading {
  const source = `container tag ${displayText(tag)}`;
  return { sightings: [], refusals: [{ what, raw: shown(text), source, reason }] };
}

function see<N extends FactName>(fact: N, value: FactValues[N], tag: string): FactSighting {
  return sighting(fact, value, 'container-tag', `container tag ${displayText(tag)}`);
}

type Tag = readonly [name: string, text: string];

function first(tags: Tags, names: readonly string[]): Tag | undefined {
  const name = names.find((candidate) => tags.has(candidate));
  return name === undefined ? undefined : [name, tags.get(name)!];
}

/** What the first tag says that can be believed; those before it are refused. */
function firstBelieved(tags: Tags, names: readonly string[], read: (tag: Tag) => Reading): Reading {
  const readings = names.flatMap((name) => {
    const text = tags.get(name);
    return text === undefined ? [] : [read([name, text])];
  });
  const believed = readings.findIndex(({ sightings }) => sightings.length > 0);
  return combinedReadings(believed < 0 ? readings : readings.slice(0, believed + 1));
}

// The one with a zone stands first: the other is meant to be UTC, and some cameras write local time there.
const timeTags = ['com.apple.quicktime.creationdate', 'creation_time', 'date_recorded', 'datetimeoriginal'];

function recordedAt(tag: Tag): Reading {
  const time = containerTime(tag[1]);
  if ('reason' in time) return refused('recordedAt', tag, time.reason);
  // The zero of the container's clock (1904) and of most cameras' (1970, 1980) stand for a clock that was not set.
  if (Number(time.recordedAt.slice(0, 4)) < 1990)
    return refused('recordedAt', tag, 'is the zero of a clock that was never set');
  return readingOf([see('recordedAt', time.recordedAt, tag[0])]);
}

const placeTags = ['com.apple.quicktime.location.iso6709', 'location', 'location-eng'];

function place(tag: Tag): Reading {
  const point = parseIso6709(tag[1]);
  if (point === undefined) return refused('latitude', tag, 'is not a position in the form of ISO 6709');
  if (point.latitude === 0 && point.longitude === 0)
    return refused('latitude', tag, 'is written where no position was known');
  const { latitude, longitude, altitudeMetres } = point;
  return readingOf([
    see('latitude', latitude, tag[0]),
    see('longitude', longitude, tag[0]),
    ...(altitudeMetres === undefined ? [] : [see('altitudeMetres', altitudeMetres, tag[0])]),
  ]);
}

// Documented for the mobile system that introduced it: "capture rate differs from frame rate" means slow motion or a
// time lapse.
const captureTag = 'com.android.capture.fps';

function captureRate(tags: Tags): Reading {
  const text = tags.get(captureTag);
  if (text === undefined) return emptyReading;
  const number = Number(text);
  // A time lapse takes less than one picture a second, so only the upper bound of a clip's rate holds here.
  const rate = number > 0 && number <= plausibleRate.high ? frameRateFromNumber(number) : undefined;
  if (rate === undefined)
    return refused('frameRate', [captureTag, text], `is not between 0 and ${plausibleRate.high}`);
  return readingOf([see('frameRate', rate, captureTag)]);
}

const makeTags = ['com.apple.quicktime.make', 'com.android.manufacturer', 'make'];
const modelTags = ['com.apple.quicktime.model', 'com.android.model', 'model'];

function camera(tags: Tags): Reading {
  const make = first(tags, makeTags);
  const model = first(tags, modelTags);
  const name = cameraName(shownOf(make), shownOf(model));
  return name === undefined ? emptyReading : readingOf([see('camera', name, (model ?? make)![0])]);
}

function shownOf(tag: Tag | undefined): string | undefined {
  return tag && (shown(tag[1]) || undefined);
}

/** Exposure in tags: Matroska's own names, the last word of a reversed domain name, or one with its unit behind it. */
function exposure(tags: Tags): Reading {
  const readings = [...tags].flatMap(([tag, value]) => {
    const read = /iso6709$/i.test(tag) ? undefined : valueReader(tag);
    if (read === undefined) return [];
    const source = `container tag ${displayText(tag)}`;
    const { facts, refusals } = read(value.slice(0, 100), { source });
    // White balance in tags is read as words are.
    const { whiteBalanceKelvin: _, ...others } = facts;
    const sightings = Object.entries(others).map(([fact, number]) =>
      sighting(fact as 'iso', number, 'container-tag', source),
    );
    return [{ sightings, refusals }];
  });
  return combinedReadings(readings);
}

const longestShown = 200;

function shown(text: string): string {
  return displayText(text.trim().slice(0, longestShown));
}

type WordFact = keyof typeof exposureWords;

// Exif's names for what is a word and no quantity, without their blanks; tags of clips borrow them.
const named: Readonly<Record<string, WordFact>> = {
  exposureprogram: 'exposureProgram',
  exposuremode: 'exposureMode',
  meteringmode: 'meteringMode',
  whitebalance: 'whiteBalance',
  whitebalancekelvin: 'whiteBalance',
  colortemperature: 'whiteBalance',
  colourtemperature: 'whiteBalance',
};

const longestWord = 60;
// Colour temperatures; the standard's own numbers for a white balance are 0 and 1.
const kelvin = { low: 1000, high: 25_000 } as const;

/** Exposure programme, metering and white balance among a clip's tags, as words or as the standard's numbers. */
function wordTags(tags: ReadonlyMap<string, string>): Reading {
  const sightings = [...tags].flatMap(([tag, value]): FactSighting[] => {
    const name = tag
      .slice(tag.lastIndexOf('.') + 1)
      .toLowerCase()
      .replace(/[\s_-]/g, '');
    const kind = Object.hasOwn(named, name) ? named[name] : undefined;
    const word = kind && wordOf(kind, value.trim());
    if (kind === undefined || word === undefined) return [];
    const fact = kind === 'exposureMode' ? 'exposureProgram' : kind;
    return [sighting(fact, word, 'container-tag', `container tag ${displayText(tag)}`)];
  });
  return readingOf(sightings);
}

function wordOf(kind: WordFact, value: string): string | undefined {
  if (!/^\d+(?:\.\d+)?\s?K?$/i.test(value))
    return /\p{L}/u.test(value) ? displayText(value.slice(0, longestWord)) : undefined;
  const number = Number.parseFloat(value);
  if (kind === 'whiteBalance' && number >= kelvin.low && number <= kelvin.high) return `${number} K`;
  return exposureWords[kind][number];
}
