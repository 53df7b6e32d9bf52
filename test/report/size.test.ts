import { expect, test } from 'vitest';
import type { AuditDocument } from '../../src/document/auditDocument.ts';
import { isFlagged } from '../../src/report/arrangement.ts';
import { pagePictures } from '../../src/report/html/pagePictures.ts';
import { htmlReport } from '../../src/report/html/page.tsx';
import { exampleClip } from './exampleClip.ts';
import { exampleDocument } from './exampleDocument.ts';
import { heavyPictures } from './madePictures.ts';
import { wholeText } from './wholeText.ts';

/** Clips that carry as much as a clip can: 200 frames and 600 samples over time. */
function flight(clips: number): AuditDocument {
  const clip = exampleClip();
  const frames = Array.from({ length: 200 }, (_, at) => ({
    atSeconds: at * 0.6,
    clippedFraction: (at % 7) / 100,
    levelStops: Math.sin(at),
    motionPixelsPerFrame: at % 11,
  }));
  const timeline = Array.from({ length: 600 }, (_, at) => ({
    startSeconds: at * 0.2,
    endSeconds: at * 0.2 + 0.2,
    exposureSeconds: 1 / (400 + (at % 300)),
  }));
  const recordings = Array.from({ length: clips }, (_, at) => ({
    ...clip,
    path: `DCIM/100_AERO/CLIP${String(at).padStart(4, '0')}.MP4`,
    picture: { ...clip.picture!, frames },
    track: { ...clip.track!, timeline },
  }));
  return { ...exampleDocument, recordings, sequences: [] };
}

test.each([200, 500])(
  '%d full clips with full pictures: a page of 15 MB for 200, pictures limited beyond',
  (clips) => {
    const document = flight(clips);
    const page = wholeText(htmlReport(document, heavyPictures(document.recordings)));
    const bytes = Buffer.byteLength(page);
    expect(bytes).toBeGreaterThan(3_000_000);
    // Pictures are limited as a whole; a clip's own text and plot take 40 kB at most.
    expect(bytes).toBeLessThan(clips === 200 ? 15_000_000 : 12_200_000 + clips * 40_000);
  },
);

test('where pictures have to go, flagged recordings keep theirs longest', () => {
  const { recordings } = exampleDocument;
  const pictures = heavyPictures(recordings);
  const chosen = pagePictures(recordings, pictures, 300_000).map((each) => each?.());
  const counts = chosen.map((each) => each?.frames.length);
  expect(counts[0]).toBe(1);
  expect(counts[1]).toBeGreaterThanOrEqual(1);
  expect(chosen[1]?.burnt).toBeDefined();
  expect(chosen[0]?.burnt).toBeUndefined();
  expect(pagePictures(recordings, pictures, 1000).every((each) => each === undefined)).toBe(true);
  expect(pagePictures(recordings, pictures).map((each) => each?.())).toEqual(pictures);
});

test('pictures are chosen by their sizes alone', () => {
  const { recordings } = exampleDocument;
  const asked = (): never => {
    throw new Error('bytes are asked for when they are written');
  };
  const pictures = heavyPictures(recordings).map(({ path, frames }) => ({
    path,
    frames: frames.map((frame) => Object.defineProperty({ ...frame }, 'bytes', { get: asked })),
  }));
  const counts = pagePictures(recordings, pictures, 300_000).map((each) => each?.().frames.length);
  expect(counts).toEqual(recordings.map((recording) => (isFlagged(recording) ? 6 : 1)));
});
