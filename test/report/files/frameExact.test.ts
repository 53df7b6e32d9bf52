import { XMLParser, XMLValidator } from 'fast-xml-parser';
import { describe, expect, it } from 'vitest';
import { webvttTrack, xmpSidecar } from '../../../src/report/files/clipSidecars.ts';
import { otioTimeline } from '../../../src/report/files/otioTimeline.ts';
import { usableList } from '../../../src/report/files/usableList.ts';
import { clippedOnly, fact } from '../exampleClip.ts';
import { exampleDocument } from '../exampleDocument.ts';

// Truth is counted here frame by frame, in whole numbers: frame n is shown from n × denominator / numerator seconds on.
// Labels are counted as SMPTE ST 12-1 has it, a clock that leaves out the labels 00 and 01 (00 to 03 at 59.94) of each
// minute that is no tenth.

interface Rate {
  readonly name: string;
  readonly numerator: number;
  readonly denominator: number;
  readonly start: string;
  readonly nominal: number;
  readonly dropped: number;
}

const rates: readonly Rate[] = [
  { name: '23.976', numerator: 24000, denominator: 1001, start: '09:58:00:00', nominal: 24, dropped: 0 },
  { name: '25', numerator: 25, denominator: 1, start: '09:58:00:00', nominal: 25, dropped: 0 },
  {
    name: '29.97 drop-frame',
    numerator: 30000,
    denominator: 1001,
    start: '09:58:00;02',
    nominal: 30,
    dropped: 2,
  },
  { name: '29.97', numerator: 30000, denominator: 1001, start: '09:58:00:00', nominal: 30, dropped: 0 },
  {
    name: '59.94 drop-frame',
    numerator: 60000,
    denominator: 1001,
    start: '09:58:00;04',
    nominal: 60,
    dropped: 4,
  },
  { name: '59.94', numerator: 60000, denominator: 1001, start: '09:58:00:00', nominal: 60, dropped: 0 },
];

const frames = 20_000;

/** The label of each frame, one after another. */
function labels({ start, nominal, dropped }: Rate): readonly string[] {
  let [hours = 0, minutes = 0, seconds = 0, frame = 0] = start.split(/[:;]/).map(Number);
  const two = (amount: number) => String(amount).padStart(2, '0');
  return Array.from({ length: frames + 1 }, () => {
    const label = `${two(hours)}:${two(minutes)}:${two(seconds)}${dropped > 0 ? ';' : ':'}${two(frame)}`;
    frame += 1;
    if (frame === nominal) [frame, seconds] = [0, seconds + 1];
    if (seconds === 60) {
      [seconds, minutes] = [0, minutes + 1];
      if (minutes === 60) [minutes, hours] = [0, hours + 1];
      if (minutes % 10 !== 0) frame = dropped;
    }
    return label;
  });
}

/** Two faults in whole milliseconds, with how far their ends may be off; neither at the end of a frame. */
const faults = [
  { startMs: 61_234, endMs: 95_017, toleranceMs: 333 },
  { startMs: 130_001, endMs: 130_009, toleranceMs: 0 },
] as const;

/** Whether a frame is shown at any moment from one to another. */
function isShownWithin(frame: number, [fromMs, toMs]: readonly [number, number], rate: Rate): boolean {
  const millisecondFrame = 1000 * rate.denominator;
  return (
    frame * millisecondFrame < toMs * rate.numerator &&
    (frame + 1) * millisecondFrame > fromMs * rate.numerator
  );
}

/** Stretches of frames that hold a fault, and those between: first frame and how many. */
function truth(rate: Rate): readonly (readonly [isFault: boolean, first: number, count: number])[] {
  const stretches: [boolean, number, number][] = [];
  for (let frame = 0; frame < frames; frame += 1) {
    const isFault = faults.some(({ startMs, endMs, toleranceMs }) =>
      isShownWithin(frame, [startMs - toleranceMs, endMs + toleranceMs], rate),
    );
    const last = stretches.at(-1);
    if (last?.[0] === isFault) last[2] += 1;
    else stretches.push([isFault, frame, 1]);
  }
  return stretches;
}

function clipOf({ numerator, denominator, start }: Rate) {
  const clip = clippedOnly(
    {
      framesPerSecond: fact(numerator / denominator),
      startTimecode: fact(start),
      // As containers round it.
      durationSeconds: fact(Number(((frames * denominator) / numerator).toFixed(3))),
    },
    [],
  );
  const clippedSpans = faults.map(({ startMs, endMs, toleranceMs }) => ({
    startSeconds: startMs / 1000,
    endSeconds: endMs / 1000,
    startToleranceSeconds: toleranceMs / 1000,
    endToleranceSeconds: toleranceMs / 1000,
    maxFraction: 0.1,
  }));
  return { ...clip, path: 'CLIP.MP4', picture: { ...clip.picture!, clippedSpans } };
}

const { settings } = exampleDocument;
const namesOf = (isFault: boolean) => (isFault ? 'highlights clipped' : 'usable');

describe.each(rates)('at $name, frame by frame', (rate) => {
  const clip = clipOf(rate);
  const document = { ...exampleDocument, recordings: [clip], sequences: [] };
  const expected = truth(rate);
  const label = labels(rate);

  it('the timeline marks what is clipped and what is usable, with its labels', () => {
    expect(expected.map(([isFault]) => isFault)).toEqual([false, true, false, true, false]);
    const timeline = JSON.parse(otioTimeline(document));
    const [only] = timeline.tracks.children[0].children;
    const start = only.source_range.start_time.value;
    expect(only.source_range.duration.value).toBe(frames);
    const read = only.markers.map((marker: any) => [
      marker.name,
      marker.marked_range.start_time.value - start,
      marker.marked_range.duration.value,
      marker.metadata.halfturn.timecode,
    ]);
    expect(read).toEqual(
      expected.map(([isFault, first, count]) => [namesOf(isFault), first, count, label[first]]),
    );
  });

  it('the sidecar marks the same, as a reader of XML and its namespaces has it', () => {
    const text = xmpSidecar(clip, settings);
    expect(XMLValidator.validate(text)).toBe(true);
    const tree = new XMLParser({ ignoreAttributes: false }).parse(text);
    const description = tree['x:xmpmeta']['rdf:RDF']['rdf:Description'];
    expect(description['@_xmlns:xmpDM']).toBe('http://ns.adobe.com/xmp/1.0/DynamicMedia/');
    const track = description['xmpDM:Tracks']['rdf:Bag']['rdf:li'];
    expect(track['xmpDM:frameRate']).toBe(`f${rate.numerator}s${rate.denominator}`);
    const read = track['xmpDM:markers']['rdf:Seq']['rdf:li'].map((marker: any) => [
      marker['xmpDM:name'],
      marker['xmpDM:startTime'],
      marker['xmpDM:duration'],
    ]);
    expect(read).toEqual(expected.map(([isFault, first, count]) => [namesOf(isFault), first, count]));
    expect(description['xmpDM:startTimecode']['xmpDM:timeValue']).toBe(rate.start);
  });

  it('a caption is shown for these frames and no others', () => {
    const milliseconds = (time: string) => {
      const [hours = 0, minutes = 0, seconds = 0] = time.split(':').map(Number);
      return Math.round((hours * 3600 + minutes * 60 + seconds) * 1000);
    };
    const cues = [...webvttTrack(clip, settings)!.matchAll(/^(\S+) --> (\S+)$/gm)];
    const read = cues.map(([, from = '', to = '']) => {
      // A player shows a cue while from <= time < to.
      const shown = Array.from({ length: frames }, (_, frame) => frame).filter((frame) => {
        const scaled = frame * 1000 * rate.denominator;
        return scaled >= milliseconds(from) * rate.numerator && scaled < milliseconds(to) * rate.numerator;
      });
      return [shown[0], shown.length];
    });
    expect(read).toEqual(expected.map(([, first, count]) => [first, count]));
  });

  it('the list of usable stretches names the first and the last frame of each', () => {
    const usable = expected.filter(([isFault]) => !isFault);
    expect(usableList(document)).toBe(
      usable.map(([, first, count]) => `${label[first]} to ${label[first + count - 1]}  CLIP.MP4\n`).join(''),
    );
  });
});

it('a clip without a timecode is listed in seconds, rounded inward, and one that is spoilt is not', () => {
  const { startTimecode: _, ...facts } = clipOf(rates[1]!).facts;
  const spoilt = clippedOnly({ durationSeconds: fact(10) }, [{ startSeconds: 0, endSeconds: 10 }]);
  const recordings = [{ ...clipOf(rates[1]!), facts }, spoilt];
  expect(usableList({ ...exampleDocument, recordings, sequences: [] })).toBe(
    '0 s to 1:00  CLIP.MP4\n1:36 to 2:10  CLIP.MP4\n2:11 to 13:20  CLIP.MP4\n',
  );
});
