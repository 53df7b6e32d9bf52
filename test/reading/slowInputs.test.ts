import { describe, expect, test } from 'vitest';
import { parseTelemetryPairs } from '../../src/reading/telemetryPairs.ts';
import { parseTelemetryText, parseSubRip } from '../../src/reading/textTracks.ts';
import { parseXmp } from '../../src/reading/xmp.ts';

// What parses strangers' text inside our own process cannot be ended from outside. So its input is capped, and these
// are the worst that the caps let through, found by trying. What hangs is ended by the test runner.
const hanging = { timeout: 20_000 };

const filled = (unit: string, length: number): string => unit.repeat(Math.floor(length / unit.length));

describe('XMP within 1 MiB', hanging, () => {
  const head =
    '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">' +
    '<rdf:Description xmlns:exif="http://ns.adobe.com/exif/1.0/">';
  const tail = '</rdf:Description></rdf:RDF></x:xmpmeta>';
  const room = 2 ** 20 - head.length - tail.length - 100;
  const numbered = (count: number, part: (at: number) => string): string =>
    Array.from({ length: count }, (_, at) => part(at)).join('');

  test.each<[string, string]>([
    ['one text', `<exif:A>${filled('a', room)}</exif:A>`],
    ['one text of lines', `<exif:A>${filled('a\r\n', room)}</exif:A>`],
    ['ampersands', `<exif:A>${filled('&', room)}</exif:A>`],
    ['beginnings of references', `<exif:A>${filled('&#', room)}</exif:A>`],
    ['90,000 references', `<exif:A>${filled('&#65;', 450_000)}</exif:A>`],
    ['closing brackets', `<exif:A>${filled('>', room)}</exif:A>`],
    ['one attribute of ampersands', `<exif:A b="${filled('&', room)}"/>`],
    ['9,900 attributes', `<exif:A ${numbered(9900, (at) => `a${at}="${'x'.repeat(80)}" `)}/>`],
    ['names without values', `<exif:A ${filled('a ', room)}/>`],
    ['quotes', `<exif:A ${filled('"', room)}/>`],
    ['blanks before an equals sign', `<exif:A a${filled(' ', room)}="1"/>`],
    ['a name of half a mebibyte', `<${filled('a', room / 2)}></${filled('a', room / 2)}>`],
    ['one comment', `<!--${filled('-', room)}-->`],
    ['9,900 comments in one text', `<exif:A>${filled(`${'a'.repeat(90)}<!---->`, 9900 * 97)}</exif:A>`],
    ['9,900 elements side by side', filled('<a/>', 9900 * 4)],
    ['4,900 namespaces inside each other', numbered(4900, (at) => `<a xmlns:p${at}="u${at}">`)],
    [
      '4,900 namespaces side by side',
      numbered(4900, (at) => `<p:a xmlns:p${at}="u${at}" xmlns:q${at}="u"/>`),
    ],
    ['an instruction of names', `<?a ${filled('b ', room)}?>`],
    ['an unended section', `<![CDATA[${filled(']', room)}`],
  ])('%s', (_, body) => {
    const packet = Buffer.from(head + body + tail);
    expect(packet.length).toBeLessThanOrEqual(2 ** 20);
    expect(parseXmp(packet, { carrier: 'xmp-embedded', label: 'XMP' }).sightings).toEqual([]);
  });
});

describe('SubRip text within 32 MiB', hanging, () => {
  const most = 32 * 2 ** 20;
  const cue = '1\n00:00:00,000 --> 00:00:01,000\n';

  test.each<[string, string]>([
    ['line ends', cue + filled('\n', most)],
    ['carriage returns', cue + filled('\r', most)],
    ['one line', cue + filled('a', most)],
    ['arrows', cue + filled('-->\n', most)],
    ['digits and colons', cue + filled('1:1:1:\n', most)],
    ['empty cues', filled(cue, most)],
  ])('%s', (_, text) => {
    for (const _ of parseSubRip(text));
  });

  test('line ends alone need no memory to speak of', () => {
    const before = process.memoryUsage().rss;
    for (const _ of parseSubRip(cue + filled('\n', most)));
    expect(process.memoryUsage().rss - before).toBeLessThan(300e6);
  });

  test.each([
    'iso 1 ',
    'iso 1/1 1/1 ',
    'gps 1.1, 1.1 ',
    'exposure',
    'f/',
    '<',
    '{\\',
    `iso"   =   '  `,
    'focal__',
    'ss tv ',
  ])('a thousand cues of %j', (unit) => {
    const text = filled(unit, 100_000);
    for (let cues = 0; cues < 1000; cues += 1) parseTelemetryPairs(text, { source: 's' });
  });

  test('a long sidecar lets other work go on', async () => {
    const text = `${cue}iso 100 shutter 1/200 lat 47.5 lon 8.25 abs alt 400.5\n\n`.repeat(60_000);
    let turns = 0;
    const watch = setInterval(() => (turns += 1), 1);
    await parseTelemetryText(text, { source: 's' });
    clearInterval(watch);
    expect(turns).toBeGreaterThan(0);
  });
});
