import { expect, test } from 'vitest';
import { cueTime, webvttTrack } from '../../../src/report/files/webvttTrack.ts';
import { clippedOnly, fact } from '../exampleClip.ts';
import { exampleDocument, hostileName } from '../exampleDocument.ts';

const { settings } = exampleDocument;

/** An independent reader of the WebVTT file format (W3C WebVTT, section 4): times in seconds, references undone. */
function cuesOf(text: string) {
  const [head, ...blocks] = text.trimEnd().split('\n\n');
  expect(head).toBe('WEBVTT');
  return blocks.map((block) => {
    const [, times = '', ...lines] = block.split('\n');
    const places = /^(\d{2,}):([0-5]\d):([0-5]\d\.\d{3}) --> (\d{2,}):([0-5]\d):([0-5]\d\.\d{3})$/.exec(
      times,
    );
    if (places === null) throw new Error(`not a cue time: ${times}`);
    const seconds = (at: number) =>
      Number(places[at]) * 3600 + Number(places[at + 1]) * 60 + Number(places[at + 2]);
    const payload = lines.join('\n');
    expect(payload).not.toContain('-->');
    expect(payload.replace(/&(?:amp|lt|gt);/g, '')).not.toMatch(/[&<]/);
    const said = payload.replaceAll('&lt;', '<').replaceAll('&gt;', '>').replaceAll('&amp;', '&');
    return { start: seconds(1), end: seconds(4), said };
  });
}

test('a track has a cue for each mark, in the order of time', () => {
  const clip = clippedOnly({ durationSeconds: fact(3725.5) }, [
    { startSeconds: 3600, endSeconds: 3661.25 },
    { startSeconds: 4, endSeconds: 6.5 },
  ]);
  expect(cuesOf(webvttTrack(clip, settings)!)).toEqual([
    { start: 0, end: 4, said: 'Usable' },
    { start: 4, end: 6.5, said: 'Highlights clipped: Up to 10% of the picture is clipped.' },
    { start: 6.5, end: 3600, said: 'Usable' },
    { start: 3600, end: 3661.25, said: 'Highlights clipped: Up to 10% of the picture is clipped.' },
    { start: 3661.25, end: 3725.5, said: 'Usable' },
  ]);
});

test('a sentence with markup and an arrow stays a sentence', () => {
  const clip = clippedOnly({ durationSeconds: fact(10) }, []);
  const text = `${hostileName} --> <b>\n\nNOTE`;
  const track = webvttTrack(
    { ...clip, findings: [{ kind: 'decoded-in-part', weight: 'medium', text, startSeconds: 4 }] },
    settings,
  );
  const cues = cuesOf(track!);
  expect(cues).toHaveLength(2);
  expect(cues[1]!.said).toContain('<img src=x');
});

test('a still and a clip of which nothing is known have no track', () => {
  const clip = clippedOnly({ durationSeconds: fact(10) }, []);
  expect(webvttTrack({ ...clip, kind: 'still' }, settings)).toBeUndefined();
  const { durationSeconds: _, ...facts } = clip.facts;
  expect(webvttTrack({ ...clip, facts }, settings)).toBeUndefined();
});

// W3C WebVTT, section 4.1: hours of two digits or more, then minutes, seconds and thousandths.
test.each([
  [0, '00:00:00.000'],
  [59.9996, '00:01:00.000'],
  [360_000.5, '100:00:00.500'],
])('cueTime() writes %d s as %s', (seconds, written) => {
  expect(cueTime(seconds)).toBe(written);
});
