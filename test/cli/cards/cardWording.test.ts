import { describe, expect, it } from 'vitest';
import { cardList, noCard, nobodyToAsk } from '../../../src/cli/cards/dumpOrCard.ts';

const cards = [
  { folder: '/media/pilot/CARD A', recordings: 44, sizeBytes: 64e9 },
  { folder: '/mnt/b\u001b[2J', recordings: 1 },
];

describe('cards in words', () => {
  it('are a numbered list that no name can break', () => {
    expect(cardList(cards)).toBe(
      'These cards are mounted:\n' +
        '  1  /media/pilot/CARD A  64 GB, 44 recordings\n' +
        '  2  /mnt/b\\x1b[2J        1 recording\n',
    );
  });

  it('name every card and the command to type where there is nobody to ask', () => {
    const { message, hint } = nobodyToAsk(cards, 'audit', false);
    expect(message).toContain('/media/pilot/CARD A (64 GB, 44 recordings)');
    expect(message).toContain('/mnt/b');
    expect(hint).toBe("Name it: halfturn audit '/media/pilot/CARD A'");
  });

  it('say what to do where there is none, and what did not answer', () => {
    const { message, hint } = noCard({ cards: [], silent: ['/Volumes/share'] }, 'audit');
    expect(message).toContain('/Volumes/share');
    expect(hint).toContain('halfturn audit <folder>');
    expect(noCard({ cards: [], silent: [] }, 'audit').message).not.toContain('answer');
  });

  it.each([
    ['/media/card', false, '/media/card'],
    ["/media/pilot's card", false, "'/media/pilot'\\''s card'"],
    ['/media/$(touch x)', false, "'/media/$(touch x)'"],
    ['E:\\', true, 'E:\\'],
    ['E:\\a b', true, '"E:\\a b"'],
  ])('quote %s so that a shell takes it whole', (folder, isWindows, expected) => {
    const { hint } = nobodyToAsk([{ folder, recordings: 1 }], 'audit', isWindows);
    expect(hint).toBe(`Name it: halfturn audit ${expected}`);
  });
});
