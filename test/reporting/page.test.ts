import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { chromium, type Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { htmlReport } from '../../src/reporting/html/page.tsx';
import { exampleDocument } from './exampleDocument.ts';

const browserPath = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find(
  existsSync,
);

describe.skipIf(browserPath === undefined)('report.html in a real browser', () => {
  let browser: Browser;
  let folder: string;

  beforeAll(async () => {
    folder = mkdtempSync(path.join(tmpdir(), 'halfturn-page-'));
    writeFileSync(path.join(folder, 'report.html'), htmlReport(exampleDocument));
    const args = ['--no-sandbox', '--disable-gpu', '--disable-background-networking'];
    browser = await chromium.launch({ ...(browserPath && { executablePath: browserPath }), args });
  });

  afterAll(async () => {
    await browser?.close();
    rmSync(folder, { recursive: true, force: true });
  });

  it.each([
    { width: 1280, colorScheme: 'light' },
    { width: 840, colorScheme: 'dark' },
    { width: 768, colorScheme: 'light' },
    { width: 390, colorScheme: 'light' },
  ] as const)(
    '$width px wide, $colorScheme: nothing complains, nothing leaves the file, nothing is cut off',
    async (view) => {
      const page = await browser.newPage({
        viewport: { width: view.width, height: 900 },
        colorScheme: view.colorScheme,
      });
      const complaints: string[] = [];
      const requests: string[] = [];
      page.on('console', (message) => complaints.push(message.text()));
      page.on('pageerror', (error) => complaints.push(String(error)));
      page.on('request', (request) => requests.push(request.url()));
      const url = pathToFileURL(path.join(folder, 'report.html')).href;
      await page.goto(url);
      expect(await page.locator('h1').innerText()).toContain('clips');
      expect(await page.locator('body').evaluate((body) => body.scrollWidth)).toBeLessThanOrEqual(view.width);
      expect(complaints).toEqual([]);
      expect(requests).toEqual([url]);
      expect((await page.screenshot()).byteLength).toBeGreaterThan(10_000);
      await page.close();
    },
  );
});
