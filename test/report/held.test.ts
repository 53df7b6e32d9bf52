import { expect, test } from 'vitest';
import { lazyList } from '../../src/domain/lazyList.ts';
import type { RecordingPictures } from '../../src/domain/pictures.ts';
import type { AuditDocument } from '../../src/document/auditDocument.ts';
import type { ReportedRecording } from '../../src/document/reportedRecording.ts';
import { htmlReport } from '../../src/report/html/page.tsx';
import { fileReports } from '../../src/report/index.ts';
import { auditInShort } from '../../src/report/inShort.ts';
import { afterCollecting } from '../afterCollecting.ts';
import { exampleDocument } from './exampleDocument.ts';
import { heavyPictures } from './madePictures.ts';

const count = 60;
/** One that was asked for last, and what the engine itself still holds of it. */
const fewHeld = 3;

/** A document that makes each recording when it is asked for, and what has been made of it. */
function watched(): { readonly document: AuditDocument; readonly made: WeakRef<ReportedRecording>[] } {
  const made: WeakRef<ReportedRecording>[] = [];
  const { recordings: examples } = exampleDocument;
  const recordings = lazyList(count, (index) => {
    const recording = structuredClone({ ...examples[index % examples.length]!, path: `CLIP${index}.MP4` });
    made.push(new WeakRef(recording));
    return recording;
  });
  return { document: { ...exampleDocument, recordings }, made };
}

async function held(made: readonly WeakRef<object>[]): Promise<number> {
  await afterCollecting();
  return made.filter((one) => one.deref() !== undefined).length;
}

test.each(Object.entries(fileReports))('%s never holds more than a few recordings', async (_, report) => {
  const { document, made } = watched();
  let looked = 0;
  const text = report(document);
  // The summary is short, and one string.
  for (const _piece of typeof text === 'string' ? [text] : text) {
    if (made.length < looked + count / 3) continue;
    looked = made.length;
    expect(await held(made)).toBeLessThanOrEqual(fewHeld);
  }
  expect(made.length).toBeGreaterThanOrEqual(count);
  expect(await held(made)).toBeLessThanOrEqual(fewHeld);
});

test('the page never holds more than a few pictures', async () => {
  const made: WeakRef<RecordingPictures>[] = [];
  const [example] = exampleDocument.recordings;
  const all = Array.from({ length: count }, (_, at) => ({ ...example!, path: `CLIP${at}.MP4` }));
  const pictures = lazyList(count, (at) => {
    const [each] = heavyPictures(all.slice(at, at + 1));
    made.push(new WeakRef(each!));
    return each!;
  });
  let looked = 0;
  for (const _piece of htmlReport({ ...exampleDocument, recordings: all }, pictures)) {
    if (made.length < looked + count / 3) continue;
    looked = made.length;
    expect(await held(made)).toBeLessThanOrEqual(fewHeld);
  }
  expect(made.length).toBeGreaterThanOrEqual(2 * count);
});

test('what is kept in short of a recording holds on to none of it', async () => {
  const { document, made } = watched();
  const { recordings, whole } = auditInShort(document);
  expect(made.length).toBe(count);
  expect(await held(made)).toBe(0);
  expect(recordings.map(({ index }) => whole(index).path)).toEqual(recordings.map(({ path }) => path));
});
