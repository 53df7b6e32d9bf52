import { displayText } from '../domain/displayText.ts';
import { frameRateFromNumber } from '../domain/frameRate.ts';
import type { FactName, FactValues, Refusal } from '../domain/recording.ts';
import { tagsOf } from './ffprobeJson.ts';
import type { Probed, ProbedStream } from './ffprobeJson.ts';
import { isFirmwareVersion } from './firmwareVersion.ts';
import { parseIso6709 } from './iso6709.ts';
import { containerTime } from './recordedTime.ts';
import { sighting } from './sighting.ts';
import type { FactSighting, Reading } from './sighting.ts';
import { plausibleRate } from './streamRate.ts';
import { valueReader } from './telemetryPairs.ts';
import { wordTags } from './wordTags.ts';

type Tags = ReadonlyMap<string, string>;

/** Facts from the tags of a clip's container and of its picture stream, which override them. */
export function containerTags(probed: Probed, stream: ProbedStream | undefined): Reading {
  const tags: Tags = new Map([...tagsOf(probed.format), ...tagsOf(stream)]);
  const readings = [
    recordedAt(tags),
    place(tags),
    captureRate(tags),
    camera(tags),
    exposure(tags),
    wordTags(tags),
  ];
  return {
    sightings: readings.flatMap(({ sightings }) => sightings),
    refusals: readings.flatMap(({ refusals }) => refusals),
    ...writtenBy(tags),
  };
}

/** A general muxing library, or the software that a QuickTime file names, where that is not the camera's own. */
function writtenBy(tags: Tags): { readonly writtenBy?: string } {
  const muxer = tags.get('encoder');
  const software = first(tags, ['com.apple.quicktime.software', 'software']);
  const [tag, text] = /^lav[fc]\d/i.test(muxer ?? '') ? ['encoder', muxer!] : (software ?? []);
  if (tag === undefined || isFirmwareVersion(text ?? '')) return {};
  return { writtenBy: `container tag ${tag} "${shown(text ?? '').slice(0, 80)}"` };
}

const nothing: Reading = { sightings: [], refusals: [] };

function found(sightings: readonly FactSighting[]): Reading {
  return { sightings, refusals: [] };
}

function refused(what: FactName, tag: string, raw: string, reason: string): Reading {
  const refusal: Refusal = { what, raw: shown(raw), source: `container tag ${displayText(tag)}`, reason };
  return { sightings: [], refusals: [refusal] };
}

function see<N extends FactName>(fact: N, value: FactValues[N], tag: string): FactSighting {
  return sighting(fact, value, 'container-tag', `container tag ${displayText(tag)}`);
}

function first(tags: Tags, names: readonly string[]): readonly [string, string] | undefined {
  const name = names.find((one) => tags.has(one));
  return name === undefined ? undefined : [name, tags.get(name)!];
}

// The one with a zone stands first: the other is meant to be UTC, and some cameras write local time there.
const timeTags = ['com.apple.quicktime.creationdate', 'creation_time', 'date_recorded', 'datetimeoriginal'];

function recordedAt(tags: Tags): Reading {
  const [tag, text] = first(tags, timeTags) ?? [];
  if (tag === undefined || text === undefined) return nothing;
  const time = containerTime(text);
  if ('reason' in time) return refused('recordedAt', tag, text, time.reason);
  // The zero of the container's clock (1904) and of most cameras' (1970, 1980) stand for a clock that was not set.
  if (Number(time.recordedAt.slice(0, 4)) < 1990)
    return refused('recordedAt', tag, text, 'is the zero of a clock that was never set');
  return found([see('recordedAt', time.recordedAt, tag)]);
}

const placeTags = ['com.apple.quicktime.location.iso6709', 'location', 'location-eng'];

function place(tags: Tags): Reading {
  const tag = first(tags, placeTags);
  if (tag === undefined) return nothing;
  const point = parseIso6709(tag[1]);
  if (point === undefined)
    return refused('latitude', tag[0], tag[1], 'is not a position in the form of ISO 6709');
  if (point.latitude === 0 && point.longitude === 0) {
    return refused('latitude', tag[0], tag[1], 'is written where no position was known');
  }
  const { latitude, longitude, altitudeMetres } = point;
  return found([
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
  if (text === undefined) return nothing;
  const number = Number(text);
  // A time lapse takes less than one picture a second, so only the upper bound of a clip's rate holds here.
  const rate = number > 0 && number <= plausibleRate.high ? frameRateFromNumber(number) : undefined;
  if (rate === undefined)
    return refused('frameRate', captureTag, text, `is not between 0 and ${plausibleRate.high}`);
  return found([see('frameRate', rate, captureTag)]);
}

const makeTags = ['com.apple.quicktime.make', 'com.android.manufacturer', 'make'];
const modelTags = ['com.apple.quicktime.model', 'com.android.model', 'model'];

function camera(tags: Tags): Reading {
  const make = first(tags, makeTags);
  const model = first(tags, modelTags);
  const text = [make?.[1], model?.[1]]
    .filter((part) => part !== undefined && part.trim() !== '')
    .map((part) => shown(part!));
  // Many models begin with their maker's name.
  const name =
    text.length === 2 && text[1]!.toLowerCase().startsWith(text[0]!.toLowerCase())
      ? text[1]!
      : text.join(' ');
  return name === '' ? nothing : found([see('camera', name, (model ?? make)![0])]);
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
  return {
    sightings: readings.flatMap(({ sightings }) => sightings),
    refusals: readings.flatMap(({ refusals }) => refusals),
  };
}

const longestShown = 200;

function shown(text: string): string {
  return displayText(text.trim().slice(0, longestShown));
}
