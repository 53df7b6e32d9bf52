import { displayText } from '../domain/displayText.ts';
import { exposureWords } from './exposureWords.ts';
import { sighting, type FactSighting, type Reading } from './sighting.ts';

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
export function wordTags(tags: ReadonlyMap<string, string>): Reading {
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
  return { sightings, refusals: [] };
}

function wordOf(kind: WordFact, value: string): string | undefined {
  if (!/^\d+(?:\.\d+)?\s?K?$/i.test(value))
    return /\p{L}/u.test(value) ? displayText(value.slice(0, longestWord)) : undefined;
  const number = Number.parseFloat(value);
  if (kind === 'whiteBalance' && number >= kelvin.low && number <= kelvin.high) return `${number} K`;
  return exposureWords[kind][number];
}
