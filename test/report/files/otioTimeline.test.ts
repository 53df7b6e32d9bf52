import { execFileSync } from 'node:child_process';
import { describe, expect, it, test } from 'vitest';
import type { AuditDocument } from '../../../src/document/auditDocument.ts';
import { displayText } from '../../../src/domain/displayText.ts';
import { otioTimeline } from '../../../src/report/files/otioTimeline.ts';
import { clippedOnly, fact } from '../exampleClip.ts';
import { exampleDocument, hostileName } from '../exampleDocument.ts';
import { otioFaults } from './otioSchema.ts';

interface Time {
  readonly value: number;
  readonly rate: number;
}
interface Range {
  readonly start_time: Time;
  readonly duration: Time;
}
interface Clip {
  readonly name: string;
  readonly source_range: Range;
  readonly markers: readonly {
    readonly name: string;
    readonly comment: string;
    readonly marked_range: Range;
    readonly metadata: { readonly halfturn: { readonly timecode: string } };
  }[];
  readonly media_references: {
    readonly DEFAULT_MEDIA: { readonly target_url: string; readonly available_range: Range };
  };
}

function clipsOf(document: AuditDocument): readonly Clip[] {
  const timeline = JSON.parse(otioTimeline(document)) as {
    readonly tracks: { readonly children: readonly [{ readonly children: readonly Clip[] }] };
  };
  expect(otioFaults(timeline)).toEqual([]);
  return timeline.tracks.children[0].children;
}

function oneClip(recording: AuditDocument['recordings'][number]): Clip {
  const [clip] = clipsOf({ ...exampleDocument, recordings: [recording], sequences: [] });
  return clip!;
}

test('the timeline fits the published classes and holds every clip in shooting order', () => {
  const [first, ...later] = exampleDocument.recordings;
  // Its numbers began again after the first: the order of the names is another one.
  const renamed = { ...first!, path: 'DCIM/100_AERO/CLIP9999.MP4' };
  const clips = clipsOf({ ...exampleDocument, recordings: [renamed, ...later] });
  const numbered = [9999, 2, 3, 4, 5, 6].map((number) => `CLIP${String(number).padStart(4, '0')}.MP4`);
  expect(clips.map(({ name }) => name)).toEqual([...numbered, displayText(hostileName)]);
  expect(clips[0]!.media_references.DEFAULT_MEDIA.target_url).toBe('DCIM/100_AERO/CLIP9999.MP4');
});

test('the validator finds a missing field, a strange one, a wrong colour and a wrong class', () => {
  const good = JSON.parse(otioTimeline(exampleDocument));
  for (const spoil of [
    (timeline: typeof good) => delete timeline.tracks,
    (timeline: typeof good) => (timeline.tracks.children[0].kind = 'Picture'),
    (timeline: typeof good) => (timeline.tracks.children[0].children[1].markers[0].color = 'UMBER'),
    (timeline: typeof good) => (timeline.tracks.children[0].children[1].markers[0].colour = 'RED'),
    (timeline: typeof good) => (timeline.tracks.children[0].children[0].OTIO_SCHEMA = 'Clip.9'),
    (timeline: typeof good) => (timeline.tracks.children[0].children[0].source_range.duration.value = null),
  ]) {
    const spoiled = structuredClone(good);
    spoil(spoiled);
    expect(otioFaults(spoiled)).not.toEqual([]);
  }
});

// Frames are counted by hand: seconds × rate, the first rounded down, the end rounded up, plus the frame number of the start timecode. Those of
// drop-frame labels are from SMPTE ST 12-1 counting: 10:00:00;00 is 10 × 107 892 frames after midnight at 29.97, and
// 215 784 an hour at 59.94; non-drop hours are 3600 × 30.
const cases = [
  {
    name: '23.976',
    rate: 24000 / 1001,
    timecode: '01:00:00:00',
    startFrame: 86_400,
    // 10.01 s are 240 frames of 24000/1001; 20.02 s are 480.
    spans: [{ startSeconds: 10.01, endSeconds: 20.02 }],
    frames: [[240, 240]],
    labels: ['01:00:10:00'],
  },
  {
    name: '29.97 drop-frame',
    rate: 30000 / 1001,
    timecode: '10:00:00;00',
    startFrame: 1_078_920,
    // Frame 1800 starts at 60.06 s; its label is the first after the two that are left out.
    spans: [{ startSeconds: 60.06, endSeconds: 62.062 }],
    frames: [[1800, 60]],
    labels: ['10:01:00;02'],
  },
  {
    name: '29.97 non-drop',
    rate: 30000 / 1001,
    timecode: '10:00:00:00',
    startFrame: 1_080_000,
    spans: [{ startSeconds: 60.06, endSeconds: 62.062 }],
    frames: [[1800, 60]],
    labels: ['10:01:00:00'],
  },
  {
    name: '25',
    rate: 25,
    timecode: '09:59:59:24',
    startFrame: 899_999,
    spans: [
      { startSeconds: 0.04, endSeconds: 2 },
      { startSeconds: 3.5, endSeconds: 3.51 },
    ],
    frames: [
      [1, 49],
      // A stretch that is shorter than a frame is still one frame.
      [87, 1],
    ],
    labels: ['10:00:00:00', '10:00:03:11'],
  },
  {
    name: '59.94 drop-frame',
    rate: 60000 / 1001,
    timecode: '01:00:00;00',
    startFrame: 215_784,
    // Frame 3600 is the first of the minute after: labels 00 to 03 are left out.
    spans: [{ startSeconds: 60.06, endSeconds: 61.061 }],
    frames: [[3600, 60]],
    labels: ['01:01:00;04'],
  },
  {
    name: 'no timecode',
    rate: 25,
    timecode: undefined,
    startFrame: 0,
    spans: [{ startSeconds: 1, endSeconds: 2 }],
    frames: [[25, 25]],
    labels: ['00:00:01:00'],
  },
] as const;

describe.each(cases)('at $name', ({ rate, timecode, startFrame, spans, frames, labels }) => {
  const { startTimecode: _, ...recording } = clippedOnly({}, spans).facts;
  const facts = {
    ...recording,
    framesPerSecond: fact(rate),
    durationSeconds: fact(125.125),
    ...(timecode === undefined ? {} : { startTimecode: fact(timecode) }),
  };
  const clip = oneClip({ ...clippedOnly({}, spans), facts });

  it('marks the same spans, to the frame', () => {
    const marks = clip.markers.filter(({ name }) => name === 'highlights clipped');
    expect(
      marks.map(({ marked_range: { start_time, duration } }) => [
        start_time.value - startFrame,
        duration.value,
      ]),
    ).toEqual(frames);
    expect(marks.map(({ metadata }) => metadata.halfturn.timecode)).toEqual(labels);
    for (const { marked_range } of marks) expect(marked_range.start_time.rate).toBe(rate);
  });

  it('begins at its timecode and is as long as the file', () => {
    const { available_range } = clip.media_references.DEFAULT_MEDIA;
    expect(available_range.start_time.value).toBe(startFrame);
    expect(available_range.duration.value).toBe(Math.round(125.125 * rate));
    expect(clip.source_range).toEqual(available_range);
  });
});

test('slow motion is counted by the rate at which the file plays', () => {
  const clip = oneClip(
    clippedOnly(
      { framesPerSecond: fact(120), playbackFramesPerSecond: fact(24), durationSeconds: fact(10) },
      [{ startSeconds: 1, endSeconds: 2 }],
    ),
  );
  expect(clip.source_range.duration).toMatchObject({ value: 240, rate: 24 });
});

function referenceLibrary(): string | undefined {
  try {
    return execFileSync('python3', ['-c', 'import opentimelineio; print(opentimelineio.__version__)'], {
      encoding: 'utf8',
      stdio: ['ignore', 'pipe', 'ignore'],
    }).trim();
  } catch {
    return undefined;
  }
}
const reference = referenceLibrary();
if (reference === undefined)
  console.warn('The OpenTimelineIO reference library (a Python package) is not installed: not asked.');

test.skipIf(reference === undefined)('the reference library reads the same clips and markers', () => {
  const script = `import sys, json, opentimelineio as otio
t = otio.adapters.read_from_string(sys.stdin.read(), 'otio_json')
print(json.dumps([[c.name, len(c.markers), c.duration().value] for c in t.find_clips()]))`;
  const input = otioTimeline(exampleDocument);
  const read = JSON.parse(execFileSync('python3', ['-c', script], { input, encoding: 'utf8' }));
  expect(read).toEqual(
    clipsOf(exampleDocument).map(({ name, markers, source_range }) => [
      name,
      markers.length,
      source_range.duration.value,
    ]),
  );
});

test('an address keeps folders and encodes what would be read otherwise', () => {
  const urlOf = (path: string) => {
    const clip = { ...clippedOnly({ durationSeconds: fact(10) }, []), path };
    const text = otioTimeline({ ...exampleDocument, recordings: [clip] });
    return /"target_url": "(.*)"/.exec(text)![1]!;
  };
  expect(urlOf('A B/100%#?.MP4')).toBe('A%20B/100%25%23%3F.MP4');
  expect(decodeURIComponent(urlOf('映像/\u202e1.MP4'))).toBe('映像/\u202e1.MP4');
});
