import {
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import axe from 'axe-core';
import { chromium, type Browser, type Page } from 'playwright-core';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { audit } from '../../src/audit/audit.ts';
import type { RecordingPictures } from '../../src/domain/measurement.ts';
import type { FindingWeight } from '../../src/domain/findingWeight.ts';
import type { FindingKind } from '../../src/findings/index.ts';
import type { RecordingKind } from '../../src/domain/recording.ts';
import type { AuditDocument } from '../../src/document/auditDocument.ts';
import type { ReportedFinding } from '../../src/document/reportedRecording.ts';
import { isFlagged } from '../../src/report/arrangement.ts';
import { htmlReport } from '../../src/report/html/page.tsx';
import { loadSettings } from '../../src/cli/settings.ts';
import { everything } from '../everything.ts';
import { heavyPictures } from './madePictures.ts';
import { sampleCard, sampleSettings } from '../sampleCard.ts';
import { exampleDocument, hostileName } from './exampleDocument.ts';

const browserPath = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find(
  existsSync,
);
if (browserPath === undefined) console.warn('No Chromium here: the page is not tested in a real browser.');

/** A README is read by people who wait. */
const mostPictureBytes = 100_000;

/** On target, burning sky, exposure that drifts. */
const clips = ['CLIP0001', 'CLIP0005', 'CLIP0010'];

/** Real clips with real pictures: some of the sample card, audited here. */
interface Flight {
  readonly document: AuditDocument;
  readonly pictures: readonly RecordingPictures[];
}

/** A clip that is too dark, and a series that burns as a whole beside two in which nothing was found. */
const flightWithSeries = ((): AuditDocument => {
  const recording = (name: string, kind: RecordingKind, findings: readonly ReportedFinding[] = []) => ({
    ...exampleDocument.recordings[0]!,
    path: name,
    kind,
    findings,
  });
  const found = (kind: FindingKind, weight: FindingWeight) => [{ kind, weight, text: 'Found in a test.' }];
  const members = { LAPSE: 2, QUIET: 3, BRACKET: 2 };
  const pathsOf = (name: keyof typeof members) =>
    Array.from({ length: members[name] }, (_, at) => `${name}${at + 1}.JPG`);
  const stills = [pathsOf('LAPSE'), pathsOf('QUIET'), pathsOf('BRACKET')].flat();
  return {
    ...exampleDocument,
    recordings: [
      recording('DARK.MP4', 'clip', found('too-dark', 'medium')),
      ...stills.map((name) => recording(name, 'still')),
    ],
    sequences: [
      { kind: 'interval', paths: pathsOf('LAPSE'), findings: found('series-highlights-clipped', 'high') },
      { kind: 'interval', paths: pathsOf('QUIET'), findings: [] },
      { kind: 'bracket', paths: pathsOf('BRACKET'), findings: [] },
    ],
    problems: [],
  };
})();

/** A full card of which every fifth clip is flagged. */
function hundredRecordings(): AuditDocument {
  const [good, ...others] = exampleDocument.recordings.filter(({ kind }) => kind === 'clip');
  const flagged = others.filter(isFlagged);
  const recordings = Array.from({ length: 100 }, (_, at) => ({
    ...(at % 5 === 0 ? flagged[(at / 5) % flagged.length]! : good!),
    path: `DCIM/100_AERO/CLIP${String(at + 1).padStart(4, '0')}.MP4`,
  }));
  return { ...exampleDocument, recordings, sequences: [] };
}

async function sampleFlight(scratch: string): Promise<Flight> {
  const source = path.join(sampleCard, 'DCIM', '100_AERO');
  const dump = path.join(scratch, 'card');
  mkdirSync(path.join(dump, 'DCIM', '100_AERO'), { recursive: true });
  for (const name of readdirSync(source).filter((file) => clips.some((clip) => file.startsWith(clip))))
    copyFileSync(path.join(source, name), path.join(dump, 'DCIM', '100_AERO', name));
  writeFileSync(path.join(dump, 'DCIM', '100_AERO', 'CLIP0023.MP4'), '');
  const pictures: RecordingPictures[] = [];
  const { limits, kit } = await loadSettings(sampleSettings);
  const document = await audit(dump, {
    limits,
    kit,
    notesFile: path.join(path.dirname(sampleCard), 'flight.toml'),
    generatedAt: '2026-05-14T18:02:11Z',
    onPictures: (made) => void pictures.push(made),
  });
  return { document: { ...document, dump: 'card' }, pictures };
}

describe.skipIf(browserPath === undefined)('report.html in a real browser', () => {
  let browser: Browser;
  let folder: string;

  const urlOf = (name: string) => pathToFileURL(path.join(folder, `${name}.html`)).href;

  beforeAll(async () => {
    folder = mkdtempSync(path.join(tmpdir(), 'halfturn-page-'));
    const { document, pictures } = await sampleFlight(folder);
    expect(pictures).toHaveLength(document.recordings.length);
    writeFileSync(path.join(folder, 'flight.html'), htmlReport(document, pictures));
    writeFileSync(path.join(folder, 'example.html'), htmlReport(exampleDocument));
    const made = heavyPictures(flightWithSeries.recordings);
    writeFileSync(path.join(folder, 'series.html'), htmlReport(flightWithSeries, made));
    const hundred = hundredRecordings();
    writeFileSync(path.join(folder, 'hundred.html'), htmlReport(hundred, heavyPictures(hundred.recordings)));
    const args = ['--no-sandbox', '--disable-gpu', '--disable-background-networking'];
    browser = await chromium.launch({ executablePath: browserPath, args });
  }, 180_000);

  afterAll(async () => {
    await browser?.close();
    rmSync(folder, { recursive: true, force: true });
  });

  interface View {
    readonly width: number;
    readonly colorScheme: 'light' | 'dark';
  }

  async function open(name: string, { width, colorScheme }: View) {
    const page = await browser.newPage({ viewport: { width, height: 900 }, colorScheme });
    const complaints: string[] = [];
    const requests: string[] = [];
    page.on('console', (message) => complaints.push(message.text()));
    page.on('pageerror', (error) => complaints.push(String(error)));
    page.on('request', (request) => {
      if (!request.url().startsWith('data:')) requests.push(request.url());
    });
    await page.goto(urlOf(name));
    return { page, complaints, requests };
  }

  const views: readonly View[] = [
    { width: 1280, colorScheme: 'light' },
    { width: 1280, colorScheme: 'dark' },
    { width: 840, colorScheme: 'dark' },
    { width: 768, colorScheme: 'light' },
    { width: 390, colorScheme: 'light' },
    { width: 390, colorScheme: 'dark' },
  ];

  // Wide and narrow, light and dark, each pair of them on one of the pages.
  const checkedFor = everything
    ? {
        flight: [views[0]!, views[1]!, views[4]!, views[5]!],
        example: [views[0]!, views[1]!, views[4]!, views[5]!],
      }
    : { flight: [views[0]!, views[5]!], example: [views[1]!, views[4]!] };

  describe.each(['flight', 'example'] as const)('%s', (name) => {
    it.each(views)(
      '$width px, $colorScheme: nothing complains, leaves the file or is cut off',
      async (view) => {
        const { page, complaints, requests } = await open(name, view);
        expect(await page.locator('h1').innerText()).toMatch(/^Use \d+, trim \d+, leave out \d+/);
        expect(await page.locator('body').evaluate((body) => body.scrollWidth)).toBeLessThanOrEqual(
          view.width,
        );
        expect(complaints).toEqual([]);
        expect(requests).toEqual([urlOf(name)]);
        expect((await page.screenshot()).byteLength).toBeGreaterThan(10_000);
        await page.close();
      },
    );

    it.each(checkedFor[name])(
      '$width px, $colorScheme: an accessibility checker finds nothing',
      async ({ width, colorScheme }) => {
        // The checker is a foreign script, which the page's own policy would keep out.
        const context = await browser.newContext({
          bypassCSP: true,
          viewport: { width, height: 900 },
          colorScheme,
        });
        const page = await context.newPage();
        await page.goto(urlOf(name));
        for (
          let fold;
          (fold = page.locator('details:not([open]) > summary:visible').first()), await fold.count();
        )
          await fold.click();
        await page.evaluate(axe.source);
        const { violations, passes } = await page.evaluate(() =>
          (globalThis as unknown as { axe: typeof axe }).axe.run(),
        );
        expect(passes.length).toBeGreaterThan(15);
        expect(violations.map(({ id, nodes }) => [id, nodes[0]?.html])).toEqual([]);
        await context.close();
      },
      60_000,
    );
  });

  it.each([390, 736, 737, 768, 840])(
    'at %d px what a cell of the table says stays inside it',
    async (width) => {
      const { page } = await open('flight', { width, colorScheme: 'light' });
      const outside = await page.locator('.overview tbody td').evaluateAll((cells) =>
        cells
          .filter((cell) => cell.getBoundingClientRect().width > 1)
          .filter((cell) => {
            const text = document.createRange();
            text.selectNodeContents(cell);
            const [inner, outer] = [text.getBoundingClientRect(), cell.getBoundingClientRect()];
            return inner.width > 0 && (inner.right > outer.right + 1 || inner.left < outer.left - 1);
          })
          .map((cell) => cell.textContent),
      );
      expect(outside).toEqual([]);
      await page.close();
    },
  );

  it('shows hostile names as text', async () => {
    const { page, complaints } = await open('example', views[0]!);
    const shown = await page.locator('.entry h3').allInnerTexts();
    expect(shown.join(' ')).toContain(hostileName.slice(0, 20));
    expect(await page.locator('main img').count()).toBe(0);
    expect(complaints).toEqual([]);
    await page.close();
  });

  const namesIn = (page: Page, list: string) =>
    page
      .locator(`${list} > [data-recording]`)
      .evaluateAll((items) =>
        items
          .filter((item) => !(item as HTMLElement).hidden)
          .map((item) => item.getAttribute('data-recording')),
      );

  it('filters by finding, everywhere at once, and says how many are shown', async () => {
    const { page } = await open('flight', views[0]!);
    const all = await namesIn(page, '.overview tbody');
    await page.selectOption('#show', 'highlights-clipped');
    const clipped = await namesIn(page, '.sheet');
    expect(clipped.length).toBeGreaterThan(0);
    expect(clipped.length).toBeLessThan(all.length);
    expect(await namesIn(page, '.entries > div')).toEqual(clipped);
    expect(await namesIn(page, '.overview tbody')).toEqual(clipped);
    expect(await page.locator('#said').innerText()).toBe(`${clipped.length} of ${all.length} recordings`);
    for (const text of await page.locator('.entry:visible .verdict').allInnerTexts())
      expect(text).toMatch(/clipped/i);
    await page.selectOption('#show', '');
    expect(await namesIn(page, '.overview tbody')).toEqual(all);
    await page.close();
  });

  it('counts a flagged series among what is flagged, and shows its picture and its entry', async () => {
    const { page, complaints } = await open('series', views[0]!);
    const said = () => page.locator('#said').innerText();
    const shownSeries = async () =>
      (await page.locator('.entry.series:visible h3').allInnerTexts()).map((text) => text.split(' ')[0]);
    expect(await said()).toBe('8 recordings, 3 groups of stills');
    expect(await page.locator('#show option[value=flagged]').innerText()).toBe('what is flagged (2)');
    await page.selectOption('#show', 'flagged');
    expect(await said()).toBe('1 of 8 recordings, 1 of 3 groups of stills');
    expect(await page.locator('.sheet li:visible .name').allInnerTexts()).toEqual(['DARK.MP4', 'LAPSE1.JPG']);
    expect(await shownSeries()).toEqual(['LAPSE1.JPG']);
    await page.selectOption('#order', 'serious');
    expect(await page.locator('.sheet li:visible .name').allInnerTexts()).toEqual(['LAPSE1.JPG', 'DARK.MP4']);
    await page.selectOption('#show', 'too-dark');
    expect(await said()).toBe('1 of 8 recordings, 0 of 3 groups of stills');
    expect(await page.locator('#series').isVisible()).toBe(false);
    await page.selectOption('#show', '');
    expect(await shownSeries()).toEqual(['LAPSE1.JPG', 'QUIET1.JPG', 'BRACKET1.JPG']);
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('shows everything again where a link leads to what the filter hides', async () => {
    const { page, complaints } = await open('series', views[0]!);
    const show = () => page.locator('#show').inputValue();
    await page.selectOption('#show', 'too-dark');
    await page.locator('.matters a', { hasText: 'DARK.MP4' }).click();
    expect(await show()).toBe('too-dark');
    for (const link of ['.matters a[href="#series-1"]', '.jump a[href="#series"]']) {
      await page.selectOption('#show', 'too-dark');
      await page.locator(link).click();
      expect(await show()).toBe('');
      expect(await page.locator('#series').isVisible()).toBe(true);
      const entry = await page.locator('#series-1').boundingBox();
      expect(entry!.y).toBeGreaterThanOrEqual(-1);
      expect(entry!.y).toBeLessThan(900);
    }
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('sorts, and goes back to the order in which they were shot', async () => {
    const { page } = await open('flight', views[0]!);
    const shot = await namesIn(page, '.overview tbody');
    await page.selectOption('#order', 'clipped');
    const shares = await page
      .locator('.overview tbody tr')
      .evaluateAll((rows) => rows.map((row) => Number(row.getAttribute('data-clipped'))));
    expect(shares).toEqual(shares.toSorted((a, b) => b - a));
    expect(await namesIn(page, '.overview tbody')).not.toEqual(shot);
    await page.selectOption('#order', 'shot');
    expect(await namesIn(page, '.overview tbody')).toEqual(shot);
    await page.close();
  });

  it('goes from entry to entry with j and k from anywhere, opens one with o, and lists the keys at ?', async () => {
    const { page, complaints } = await open('flight', views[0]!);
    const focused = () => page.evaluate(() => document.activeElement?.closest('.entry')?.id);
    for (const [key, id] of [
      ['j', 'recording-1'],
      ['j', 'recording-2'],
      ['k', 'recording-1'],
    ] as const) {
      await page.keyboard.press(key);
      expect(await focused()).toBe(id);
    }
    const plot = page.locator('#recording-1 .body');
    expect(await plot.isVisible()).toBe(false);
    await page.keyboard.press('o');
    expect(await plot.isVisible()).toBe(true);
    await page.locator('#show').focus();
    await page.keyboard.press('j');
    expect(await focused()).toBeUndefined();
    await page.locator('h1').click();
    await page.keyboard.press('?');
    expect(await page.locator('#keys').isVisible()).toBe(true);
    await page.keyboard.press('Escape');
    expect(await page.locator('#keys').isVisible()).toBe(false);
    await page.keyboard.press('f');
    expect(await page.locator('#show').inputValue()).toBe('flagged');
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('keeps the filter in the address', async () => {
    const { page, complaints } = await open('flight', views[0]!);
    await page.selectOption('#show', 'highlights-clipped');
    await page.selectOption('#order', 'clipped');
    await page.reload();
    expect(await page.locator('#show').inputValue()).toBe('highlights-clipped');
    expect(await page.locator('#order').inputValue()).toBe('clipped');
    await page.selectOption('#show', '');
    expect(page.url()).not.toContain('show=');
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('sorts the table by a column, up and down', async () => {
    const { page } = await open('flight', views[0]!);
    const head = page.locator('.overview th', { hasText: 'fps' });
    const rates = () =>
      page
        .locator('.overview td[data-label=fps]')
        .evaluateAll((cells) => cells.map((cell) => Number(cell.textContent)));
    await head.getByRole('button').click();
    expect(await head.getAttribute('aria-sort')).toBe('ascending');
    expect(await rates()).toEqual([24, 24, 30]);
    await head.getByRole('button').click();
    expect(await rates()).toEqual([30, 24, 24]);
    await page.close();
  });

  it('copies a place of the clip, and shows the frame under the pointer', async () => {
    const { page, complaints } = await open('flight', views[0]!);
    const entry = page.locator('.entry', { hasText: 'CLIP0005.MP4' });
    const place = entry.locator('.places .place').first();
    expect(await place.getAttribute('role')).toBe('button');
    await place.click();
    await entry.locator('.place[data-copied]').waitFor();
    const frames = entry.locator('.strip img');
    await frames.nth(2).hover();
    expect(await page.locator('.preview img').getAttribute('src')).toBe(
      await frames.nth(2).getAttribute('src'),
    );
    expect(await page.locator('.preview figcaption').innerText()).toBe(
      await frames.nth(2).getAttribute('data-when'),
    );
    await page.locator('h1').hover();
    expect(await page.locator('.preview').count()).toBe(0);
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('opens what a link or an address leads to', async () => {
    const { page } = await open('flight', views[0]!);
    const body = page.locator('#recording-1 .body');
    expect(await body.isVisible()).toBe(false);
    await page.locator('.sheet a[href="#recording-1"]').click();
    expect(await body.isVisible()).toBe(true);
    await page.reload();
    expect(await body.isVisible()).toBe(true);
    await page.close();
  });

  it('keeps an open entry within two screens of a phone', async () => {
    const { page } = await open('flight', { width: 390, colorScheme: 'light' });
    const entry = page.locator('.entry', { hasText: 'CLIP0005.MP4' });
    if ((await entry.getAttribute('open')) === null) await entry.locator('> summary').click();
    const shown = await entry.innerText();
    for (const said of ['5.1 stops too short', 'Highlights are clipped in up to', 'Set 1/60 s', 'Carry ND64'])
      expect(shown).toContain(said);
    // The longest of the card: two screens of a phone, 844 pixels high each, would be too long for it.
    expect((await entry.boundingBox())!.height).toBeLessThan(2 * 844);
    await page.close();
  });

  it.each([390, 820, 1280])(
    'takes at most 12 screens and 3 MB for 100 recordings at %d px before anything is opened',
    async (width) => {
      const { page } = await open('hundred', { width, colorScheme: 'light' });
      const height = await page.evaluate(() => document.documentElement.scrollHeight);
      expect(height).toBeLessThanOrEqual(12 * (width < 500 ? 844 : 900));
      expect(statSync(path.join(folder, 'hundred.html')).size).toBeLessThan(3_000_000);
      expect(await page.locator('script').count()).toBe(1);
      expect(await page.locator('style').count()).toBe(1);
      await page.close();
    },
  );

  it('says everything without a script, and then offers no filter', async () => {
    const context = await browser.newContext({ javaScriptEnabled: false });
    const page = await context.newPage();
    await page.goto(urlOf('flight'));
    expect(await page.locator('.tools').isVisible()).toBe(false);
    expect(await page.locator('.entry').count()).toBe(clips.length);
    const bodyOf = (clip: string) => page.locator('.entry', { hasText: clip }).locator('.body');
    expect(await bodyOf('CLIP0005.MP4').isVisible()).toBe(true);
    // Nothing is wrong with this one: it is a row, and there for whoever asks.
    expect(await bodyOf('CLIP0001.MP4').isVisible()).toBe(false);
    await page.locator('.entry', { hasText: 'CLIP0001.MP4' }).locator('> summary').click();
    expect(await bodyOf('CLIP0001.MP4').isVisible()).toBe(true);
    await context.close();
  });

  it('shows a strip, a striped frame and a plot of the clip whose sky burns', async () => {
    const { page } = await open('flight', views[0]!);
    const entry = page.locator('.entry', { hasText: 'CLIP0005.MP4' });
    expect(await entry.locator('.strip img').count()).toBe(6);
    const drawn = await entry
      .locator('img')
      .evaluateAll((images) => images.map((image) => (image as HTMLImageElement).naturalWidth));
    expect(drawn).toHaveLength(8);
    for (const width of drawn) expect(width).toBeGreaterThan(100);
    await entry.getByText('Over time').click();
    expect(await entry.locator('.plot').getAttribute('aria-label')).toMatch(
      /^Over 2 s: shutter too short .*; highlights clipped .*; shutter angle 5\.4°, target 180°; brightness .*; clipped 0% to \d+% .*; motion /,
    );
    // The sky burns from half a second to 1.4 of 2 seconds (truth of the generator, see the sample card).
    const bar = await entry.locator('.plot .clipped rect').boundingBox();
    const whole = await entry.locator('.plot').boundingBox();
    expect((bar!.x - whole!.x) / whole!.width).toBeCloseTo(0.23, 1);
    expect(bar!.width / whole!.width).toBeCloseTo(0.46, 1);
    await page.close();
  });

  it.each(['A4', 'Letter'])(
    'prints on %s without cutting an entry',
    async (format) => {
      const height = format === 'A4' ? 297 : 279.4;
      const { page } = await open('flight', views[0]!);
      await page.emulateMedia({ media: 'print' });
      await page.setViewportSize({ width: format === 'A4' ? 688 : 710, height: 1000 });
      const tallest = await page
        .locator('.entry')
        .evaluateAll((entries) => Math.max(...entries.map((entry) => entry.getBoundingClientRect().height)));
      // Entries are kept whole, which holds as long as each fits on one page: 96 pixels an inch, 31 mm of margins.
      expect(tallest).toBeLessThan(((height - 31) / 25.4) * 96);
      const kept = await page
        .locator('.entry')
        .evaluateAll((entries) => entries.map((entry) => getComputedStyle(entry).breakInside));
      expect([...new Set(kept)]).toEqual(['avoid']);
      const pdf = await page.pdf({ format: format as 'A4' | 'Letter' });
      expect(pdf.subarray(0, 5).toString()).toBe('%PDF-');
      await page.close();
    },
    60_000,
  );

  it('gives the README its picture, small, and the README shows it', async () => {
    const golden = fileURLToPath(new URL('./golden/report.webp', import.meta.url));
    const { page } = await open('flight', { width: 1010, colorScheme: 'light' });
    await page.evaluate(() => document.querySelector('.tools')!.remove());
    const legend = await page.locator('.uses + .note').boundingBox();
    const head = await page.screenshot({
      clip: { x: 0, y: 0, width: 1010, height: legend!.y + legend!.height + 16 },
      fullPage: true,
    });
    const entry = await page.locator('.entry', { hasText: 'CLIP0005.MP4' }).screenshot();
    const picture = await stacked(head, entry);
    expect(picture.byteLength).toBeLessThan(mostPictureBytes);
    if (process.env['UPDATE_GOLDEN'] === '1') writeFileSync(golden, picture);
    expect(statSync(golden).size).toBeLessThan(mostPictureBytes);
    expect(readFileSync(new URL('../../README.md', import.meta.url), 'utf8')).toContain(
      '](test/report/golden/report.webp)',
    );
    await page.close();
  });
});

/** The top of the page and one entry of it, one above the other: a README loads it, and it is in the package. */
async function stacked(top: Buffer, below: Buffer): Promise<Buffer> {
  const [upper, lower] = await Promise.all([sharp(top).metadata(), sharp(below).metadata()]);
  const whole = await sharp({
    create: {
      width: upper.width,
      height: upper.height + lower.height + 40,
      channels: 3,
      background: '#faf9f5',
    },
  })
    .composite([
      { input: top, left: 0, top: 0 },
      { input: below, left: 32, top: upper.height + 20 },
    ])
    .png()
    .toBuffer();
  for (const width of [upper.width, 900, 800, 700]) {
    const small = await sharp(whole)
      .resize({ width })
      .webp({ quality: 75, effort: 6, smartSubsample: true })
      .toBuffer();
    if (small.byteLength < mostPictureBytes) return small;
  }
  throw new Error('the picture does not get small enough for a README');
}
