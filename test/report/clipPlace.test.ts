import { expect, test } from 'vitest';
import { inClip, placeText, spanText } from '../../src/report/clipPlace.ts';
import { clippedOnly, fact } from './exampleClip.ts';

const facts = { durationSeconds: fact(20), framesPerSecond: fact(25) };
const silent = clippedOnly({ ...facts, startTimecode: undefined }, []);
const coded = clippedOnly({ ...facts, startTimecode: fact('10:00:00:00') }, []);
const span = { startSeconds: 0.5, endSeconds: 4 };
const mark = { kind: 'clipped', comment: '', spoils: true, ...span } as const;

test('a place is told by the timecode of the clip where it has one, else in seconds', () => {
  expect(placeText(coded, 1.48)).toBe('10:00:01:12');
  expect(placeText(silent, 1.5)).toBe('1.5 s');
  expect(spanText(coded, span)).toBe('10:00:00:12 to 10:00:04:00');
  expect(spanText(silent, span)).toBe('0.5 s to 4 s');
});

test('a sentence is told in the timecode of the clip, but for what is no place in it', () => {
  const said = 'Burnt from 0.5 s to 4 s, at 1/50 s.';
  expect(inClip(said, coded, [mark])).toBe('Burnt from 10:00:00:12 to 10:00:04:00, at 1/50 s.');
  expect(inClip(said, silent, [mark])).toBe(said);
});

test('a sentence names a fault as it is marked: wider, by its tolerance', () => {
  const found = clippedOnly({ ...facts, startTimecode: undefined }, [span]);
  const finding = { kind: 'highlights-clipped', weight: 'high', text: '', ...span } as const;
  const wider = { ...mark, startSeconds: 0.3, endSeconds: 4.2 };
  const all = { ...mark, kind: 'usable', startSeconds: 0, endSeconds: 20 } as const;
  expect(inClip('From 0.5 s to 4 s.', { ...found, findings: [finding] }, [all, wider])).toBe(
    'From 0.3 s to 4.2 s.',
  );
});
