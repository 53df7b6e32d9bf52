import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { exiftool } from 'exiftool-vendored';
import { afterAll, beforeAll, describe, expect, it, test } from 'vitest';
import type { ReportedRecording } from '../../../src/document/reportedRecording.ts';
import { xmpSidecar, webvttTrack } from '../../../src/report/files/clipSidecars.ts';
import { clippedOnly, fact } from '../exampleClip.ts';
import { exampleDocument, hostileName } from '../exampleDocument.ts';

const { settings } = exampleDocument;
let folder: string;

beforeAll(() => void (folder = mkdtempSync(path.join(tmpdir(), 'halfturn-xmp-'))));
afterAll(async () => {
  rmSync(folder, { recursive: true, force: true });
  await exiftool.end();
});

interface ReadBack {
  readonly Label?: string;
  readonly Description?: string;
  readonly StartTimecode?: { readonly TimeFormat: string; readonly TimeValue: string };
  readonly Tracks?: readonly {
    readonly FrameRate: string;
    readonly TrackName: string;
    readonly Markers: readonly {
      readonly StartTime: number | string;
      readonly Duration: number | string;
      readonly Name: string;
      readonly Comment?: string;
    }[];
  }[];
  readonly Warning?: string;
  readonly Error?: string;
}

/** What a general-purpose metadata reader makes of the sidecar. */
async function readBack(recording: ReportedRecording): Promise<ReadBack> {
  const file = path.join(folder, 'sidecar.xmp');
  writeFileSync(file, xmpSidecar(recording, settings));
  return (await exiftool.readRaw(file, ['-struct', '-n', '-XMP:all'])) as ReadBack;
}

const rates = [
  { rate: 24000 / 1001, timecode: '01:00:00:00', format: '23976Timecode', trackRate: 'f24000s1001' },
  { rate: 25, timecode: '10:04:12:07', format: '25Timecode', trackRate: 'f25s1' },
  { rate: 30000 / 1001, timecode: '10:00:00;02', format: '2997DropTimecode', trackRate: 'f30000s1001' },
  { rate: 30000 / 1001, timecode: '10:00:00:02', format: '2997NonDropTimecode', trackRate: 'f30000s1001' },
  { rate: 60000 / 1001, timecode: '10:00:00;04', format: '5994DropTimecode', trackRate: 'f60000s1001' },
] as const;

describe('xmpSidecar(), read back by a metadata reader', () => {
  it.each(rates)(
    '$timecode at $rate: timecode and markers',
    async ({ rate, timecode, format, trackRate }) => {
      const clip = clippedOnly(
        { framesPerSecond: fact(rate), startTimecode: fact(timecode), durationSeconds: fact(60) },
        [{ startSeconds: 10.01, endSeconds: 20.02 }],
      );
      const read = await readBack(clip);
      expect(read.Warning ?? read.Error).toBeUndefined();
      expect(read.Label).toBe('flagged');
      expect(read.Description).toBe(
        `${clip.findings.map(({ text }) => text).join(' ')} ${read.Description!.slice(read.Description!.indexOf('Carry'))}`,
      );
      expect(read.StartTimecode).toEqual({ TimeFormat: format, TimeValue: timecode });
      const [track] = read.Tracks!;
      expect(track).toMatchObject({ FrameRate: trackRate, TrackName: 'Halfturn' });
      const marker = track!.Markers.find(({ Name }) => Name === 'highlights clipped')!;
      const first = Math.floor(10.01 * rate + 1e-6);
      expect(Number(marker.StartTime)).toBe(first);
      expect(Number(marker.Duration)).toBe(Math.ceil(20.02 * rate - 1e-6) - first);
      expect(marker.Comment).toBe('Highlights clipped: Up to 10% of the picture is clipped.');
      const starts = track!.Markers.map(({ StartTime }) => Number(StartTime));
      expect(starts).toEqual(starts.toSorted((a, b) => a - b));
      expect(track!.Markers.map(({ Name }) => Name)).toEqual(['usable', 'highlights clipped', 'usable']);
    },
  );

  it('a rate that the closed list of formats does not have gives no start timecode, and markers all the same', async () => {
    const read = await readBack(
      clippedOnly({ framesPerSecond: fact(120), startTimecode: fact('01:00:00:00') }, [
        { startSeconds: 1, endSeconds: 2 },
      ]),
    );
    expect(read.StartTimecode).toBeUndefined();
    expect(read.Tracks![0]!.FrameRate).toBe('f120s1');
  });

  it('markup, quotes and marks that turn the direction are text', async () => {
    const clip = clippedOnly({ durationSeconds: fact(10) }, [{ startSeconds: 1, endSeconds: 2 }]);
    const text = `${hostileName} ]]> <!-- \ufffe`;
    const read = await readBack({ ...clip, findings: clip.findings.map((each) => ({ ...each, text })) });
    expect(read.Warning ?? read.Error).toBeUndefined();
    expect(read.Description).toContain('<img src=x onerror="alert(1)">');
    expect(read.Description).toContain(']]> <!--');
  });

  it('a still has its findings and no markers', async () => {
    const still = exampleDocument.recordings.find(({ kind }) => kind === 'still')!;
    const read = await readBack(still);
    expect(read).toMatchObject({ Label: 'nothing flagged', Description: 'Nothing was found wrong.' });
    expect(read.Tracks).toBeUndefined();
  });
});

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

// Whole frames of 1/25 s.
test('a track has a cue for each mark, in the order of time', () => {
  const clip = clippedOnly({ durationSeconds: fact(3725.5) }, [
    { startSeconds: 3600, endSeconds: 3661.25 },
    { startSeconds: 4, endSeconds: 6.5 },
  ]);
  expect(cuesOf(webvttTrack(clip, settings)!)).toEqual([
    { start: 0, end: 4, said: 'Usable' },
    { start: 4, end: 6.52, said: 'Highlights clipped: Up to 10% of the picture is clipped.' },
    { start: 6.52, end: 3600, said: 'Usable' },
    { start: 3600, end: 3661.28, said: 'Highlights clipped: Up to 10% of the picture is clipped.' },
    { start: 3661.28, end: 3725.52, said: 'Usable' },
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
])('a cue at %d s begins at %s', (startSeconds, written) => {
  const durationSeconds = startSeconds + 10;
  const clip = clippedOnly({ durationSeconds: fact(durationSeconds) }, [
    { startSeconds, endSeconds: durationSeconds },
  ]);
  // Of a clip whose frames cannot be counted, the cues are as exact as the marks.
  const { framesPerSecond: _, ...facts } = clip.facts;
  expect(webvttTrack({ ...clip, facts }, settings)).toContain(`\n${written} --> `);
});
