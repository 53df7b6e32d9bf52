import { PassThrough } from 'node:stream';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { openLiveView } from '../../src/cli/liveView.ts';

/** What stands on a terminal after all that was written to it. */
function screenOf(written: string): readonly string[] {
  const lines = [''];
  let row = 0;
  // oxlint-disable-next-line no-control-regex
  for (const [part, up] of written.matchAll(/\u001b\[(\d+)A|\u001b\[J|\r|\n|[^\u001b\r\n]+/g)) {
    if (up !== undefined) row -= Number(up);
    else if (part === '\u001b[J') lines.splice(row, lines.length, '');
    else if (part === '\n') lines[(row += 1)] ??= '';
    else if (part !== '\r') lines[row] = part;
  }
  return lines;
}

describe('the live view', () => {
  beforeEach(() => void vi.useFakeTimers({ toFake: ['performance'] }));
  afterEach(() => void vi.useRealTimers());

  function opened(rows = 24, columns = 80) {
    const written: string[] = [];
    const stream = Object.assign(new PassThrough(), {
      isTTY: true,
      rows,
      columns,
    }) as unknown as NodeJS.WriteStream;
    stream.write = (text: string | Uint8Array) => written.push(String(text)) > 0;
    const view = openLiveView(stream);
    const screen = () => screenOf(written.join(''));
    const later = () => vi.advanceTimersByTime(200);
    return { view, screen, later };
  }

  const fact = <T>(value: T) => ({ value, source: 'made' });
  const clip = (path: string) => ({
    path,
    kind: 'clip' as const,
    facts: {
      exposureSeconds: fact(1 / 50),
      frameRate: fact({ numerator: 25, denominator: 1 }),
      iso: fact(100),
    },
  });

  it('says at once what there is, then what was recorded, then what was measured', () => {
    const { view, screen, later } = opened();
    later();
    view.onStart({ clips: 2, stills: 1 });
    expect(screen()).toEqual(['Reading 2 clips and 1 still', '']);
    later();
    view.onRead(clip('B.MP4'));
    later();
    view.onRead(clip('A.MP4'));
    const [heads, first, second, status] = screen();
    expect(heads).toMatch(/^recording +fps +shutter +angle +ISO +clipped$/);
    expect(first).toMatch(/^A\.MP4 +25 +1\/50 +180° +100 +…$/);
    expect(second).toMatch(/^B\.MP4 /);
    expect(status).toBe('Reading 2 clips and 1 still: 2 of 3');
    later();
    view.onProgress({ done: 1, total: 3, path: 'C.JPG' });
    expect(screen()[3]).toBe('Measuring pictures: 1 of 3 files');
    vi.advanceTimersByTime(9800);
    view.onProgress({ done: 2, total: 3, path: 'A.MP4', clippedFraction: 0.12, workFraction: 0.5 });
    expect(screen()[1]).toMatch(/ 12%$/);
    // Ten seconds since the last file was read, for half of the work.
    expect(screen()[3]).toBe('Measuring pictures: 2 of 3 files, about 10 s left');
  });

  it.each([
    ['nothing where the work is not known', { done: 2, total: 40 }, 20, ''],
    ['nothing before the pace is known', { done: 2, total: 40, workFraction: 0.05 }, 20, ''],
    // A fifth of the work in 200 s leaves four fifths: 800 s, 13 minutes; though all files but one are done.
    ['by work and not by files', { done: 49, total: 50, workFraction: 0.2 }, 200, ', about 13 min left'],
  ])('says of the time left %s', (_, step, seconds, left) => {
    const { view, screen } = opened();
    view.onStart({ clips: 1, stills: 0 });
    view.onRead(clip('A.MP4'));
    vi.advanceTimersByTime(seconds * 1000);
    view.onProgress({ ...step, path: 'A.MP4' });
    expect(screen().at(-2)).toBe(`Measuring pictures: ${step.done} of ${step.total} files${left}`);
  });

  it('fits the terminal, whatever the names are, and leaves nothing behind', () => {
    const { view, screen, later } = opened(12, 60);
    view.onStart({ clips: 40, stills: 0 });
    for (let number = 10; number < 50; number += 1) {
      later();
      view.onRead(clip(`DCIM/${'long '.repeat(12)}\u001b[2J/CLIP00${number}.MP4`));
    }
    const shown = screen();
    expect(shown.length).toBeLessThanOrEqual(12);
    expect(shown.filter((line) => line.length >= 60)).toEqual([]);
    expect(shown.join('')).toMatch(/0010\.MP4/);
    view.clear();
    expect(screen()).toEqual(['']);
  });

  it('shows nothing where there is no terminal', () => {
    const stream = new PassThrough() as unknown as NodeJS.WriteStream;
    const view = openLiveView(stream);
    view.onStart({ clips: 1, stills: 0 });
    view.onRead(clip('A.MP4'));
    view.clear();
    expect((stream as unknown as PassThrough).read()).toBeNull();
  });
});
