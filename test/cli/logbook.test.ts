import {
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import sharp from 'sharp';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { main } from '../../src/cli/main.ts';
import { openLogbook } from '../../src/logbook/store.ts';
import { madeFlight } from '../logbook/madeFlight.ts';
import { sampleCard, sampleSettings } from '../sampleCard.ts';

let folder: string;
let file: string;
let said: string;
let complained: string;

beforeEach(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'halfturn-logbook-cli-'));
  file = path.join(folder, 'logbook.sqlite');
  // Nobody's own logbook or settings may be touched or matter.
  vi.stubEnv('HOME', folder);
  vi.stubEnv('XDG_DATA_HOME', path.join(folder, 'data'));
  vi.stubEnv('XDG_CONFIG_HOME', path.join(folder, 'config'));
  vi.stubEnv('XDG_CACHE_HOME', path.join(folder, 'cache'));
  said = '';
  complained = '';
  vi.spyOn(process.stdout, 'write').mockImplementation((text) => ((said += String(text)), true));
  vi.spyOn(process.stderr, 'write').mockImplementation((text) => ((complained += String(text)), true));
});
afterEach(() => {
  vi.restoreAllMocks();
  vi.unstubAllEnvs();
  rmSync(folder, { recursive: true, force: true });
});

async function halfturn(...args: readonly string[]): Promise<string> {
  said = '';
  complained = '';
  expect(await main(args), complained).toBe(0);
  return said;
}

/** What an audit says, without the breaks of its lines. */
async function audited(...args: readonly string[]): Promise<string> {
  return (await halfturn(...args)).replaceAll('\n', ' ');
}

async function refused(...args: readonly string[]): Promise<string> {
  complained = '';
  expect(await main(args)).toBe(2);
  return complained;
}

function entered(...numbers: readonly number[]): void {
  const logbook = openLogbook(file, { create: true });
  logbook.enter(numbers.map((number) => madeFlight(number, 4)));
  logbook.close();
}

/** A dump with one still and one clip of the sample card. */
function smallCard(): string {
  const dump = path.join(folder, 'card');
  mkdirSync(dump);
  for (const name of ['100_AERO/CLIP0002.MP4', '101_AERO/AERO0001.JPG'])
    copyFileSync(path.join(sampleCard, 'DCIM', name), path.join(dump, path.basename(name)));
  return dump;
}

const withSettings = ['--settings', sampleSettings] as const;

describe('audit', () => {
  it('enters its flight in the usual logbook, once, and not with --no-logbook', async () => {
    const dump = smallCard();
    const usual = path.join(folder, 'data', 'halfturn', 'logbook.sqlite');
    await halfturn('audit', dump, ...withSettings, '--measure', 'off', '--no-logbook');
    expect(existsSync(usual)).toBe(false);
    for (let time = 0; time < 2; time++)
      expect(await halfturn('audit', dump, ...withSettings, '--measure', 'off', '--fitted', 'ND16')).toMatch(
        time === 0
          ? /In the logbook: \d flights? with 2 recordings\./
          : /with 2 recordings, all of them known already and brought up to date\./,
      );
    const listed = JSON.parse(await halfturn('logbook', 'list', '--json')) as {
      clips: number;
      stills: number;
    }[];
    expect(listed.reduce((sum, { clips, stills }) => sum + clips + stills, 0)).toBe(2);
  });

  it('goes on without the usual logbook where that cannot be used, and says so; one that was named must work', async () => {
    const dump = smallCard();
    const usual = path.join(folder, 'data', 'halfturn', 'logbook.sqlite');
    mkdirSync(path.dirname(usual), { recursive: true });
    writeFileSync(usual, 'not a database '.repeat(20));
    await halfturn('audit', dump, ...withSettings, '--measure', 'off', '--quiet');
    expect(complained).toMatch(/is no logbook.*The logbook is left out/);
    expect(readFileSync(usual, 'utf8')).toBe('not a database '.repeat(20));
    expect(await refused('audit', dump, ...withSettings, '--measure', 'off', '--logbook', usual)).toMatch(
      /is no logbook/,
    );
  });

  it('says that nothing can be learned without a filter', async () => {
    const args = ['audit', smallCard(), ...withSettings, '--measure', 'off'];
    expect(await audited(...args)).toMatch(/nothing can be learned from it yet: "halfturn note" proposes/);
    expect(await audited(...args, '--fitted', 'ND16')).not.toMatch(/nothing can be learned/);
  });

  // 7:54 east is two hours at most from UTC; a clock of Tokyo stands nine ahead.
  it('says that a zone cannot be where the picture was taken, with a logbook and without', async () => {
    const dump = path.join(folder, 'card');
    mkdirSync(dump);
    await sharp({ create: { width: 64, height: 48, channels: 3, background: '#777' } })
      .withExif({
        IFD2: { DateTimeOriginal: '2026:07:14 17:00:00', ExposureTime: '1/60', FNumber: '28/10' },
        IFD3: {
          GPSLatitudeRef: 'N',
          GPSLatitude: '46/1 54/1 0/1',
          GPSLongitudeRef: 'E',
          GPSLongitude: '7/1 54/1 0/1',
        },
      })
      .jpeg()
      .toFile(path.join(dump, 'A.JPG'));
    const args = ['audit', dump, ...withSettings, '--measure', 'off', '--zone'];
    for (const more of [[], ['--no-logbook']])
      expect(await audited(...args, 'Asia/Tokyo', ...more)).toMatch(
        /The clock of A\.JPG stood in a zone that cannot be at that longitude.*--zone/,
      );
    expect(await audited(...args, 'Europe/Berlin', '--no-logbook')).not.toMatch(/zone that cannot/);
  });

  it('corrects a mistyped filter by what a later audit is told, and keeps it where that is told nothing', async () => {
    const args = ['audit', smallCard(), ...withSettings, '--measure', 'off', '--logbook', file];
    expect(await audited(...args, '--fitted', 'ND64')).not.toMatch(/corrected/);
    expect(await audited(...args, '--fitted', 'ND16')).toMatch(/The filter of 2 recordings was corrected\./);
    expect(await audited(...args)).not.toMatch(/corrected|nothing can be learned/);
    writeFileSync(path.join(folder, 'card.flight.toml'), '[[fitted]]\nfilter = "ND16"\nfiles = "*.MP4"\n');
    expect(await audited(...args)).toMatch(/The filter of 1 recording was corrected\./);
  });

  it('completes a flight whose still was cut off while it was copied', async () => {
    const dump = smallCard();
    const still = path.join(dump, 'AERO0001.JPG');
    const whole = readFileSync(still);
    writeFileSync(still, whole.subarray(0, whole.length / 2));
    const args = ['audit', dump, ...withSettings, '--measure', 'off', '--fitted', 'ND16', '--no-cache'];
    await halfturn(...args);
    writeFileSync(still, whole);
    expect(await halfturn(...args)).toMatch(/with 2 recordings, all of them known already/);
  });

  it('refuses a logbook inside the dump', async () => {
    const dump = smallCard();
    expect(await refused('audit', dump, '--logbook', path.join(dump, 'logbook.sqlite'))).toMatch(
      /inside the dump.*outside it for --logbook/,
    );
  });

  it('refuses a logbook without a name, which would be gone with the audit', async () => {
    expect(await refused('audit', smallCard(), '--measure', 'off', '--logbook', '')).toMatch(/is no file/);
  });

  it('asks about a whole flight that daylight contradicts, and a correction settles it', async () => {
    const args = ['audit', smallCard(), ...withSettings, '--measure', 'off', '--logbook', file];
    expect(await halfturn(...args, '--fitted', 'ND1024')).toMatch(/was the filter on\?|no light on earth/);
    expect(
      await halfturn('logbook', 'correct', '1', '--fitted', 'ND16', ...withSettings, '--logbook', file),
    ).toMatch(/Flight 1: 2 recordings now with ND16\./);
    expect(await halfturn('learn', ...withSettings, '--logbook', file)).not.toMatch(
      /Nothing is learned from it/,
    );
    expect(await halfturn('logbook', 'undo', '--logbook', file)).toMatch(/Taken back: correcting flight 1\./);
    expect(await refused('logbook', 'undo', '--logbook', file)).toMatch(/nothing to take back/);
  });

  it('remarks on light that there is not on earth, also where nothing is entered', async () => {
    const args = ['audit', smallCard(), ...withSettings, '--measure', 'off', '--no-logbook'];
    expect(await audited(...args, '--fitted', 'ND1024')).toMatch(
      /no light on earth .*: check what was noted/,
    );
    expect(await audited(...args, '--fitted', 'ND16')).not.toMatch(/on earth/);
  });

  it('takes a named zone for clocks that recorded none, and refuses one that is no zone', async () => {
    const args = ['audit', smallCard(), ...withSettings, '--measure', 'off', '--logbook', file];
    expect(await refused(...args, '--zone', 'Mars/Olympus')).toMatch(/must be a time zone by its name/);
    await halfturn(...args, '--zone', 'Pacific/Auckland');
  });
});

describe('logbook', () => {
  it('lists, shows and removes flights', async () => {
    entered(1, 2);
    expect(await halfturn('logbook', '--logbook', file)).toMatch(/1 +2026-05-14 10:00 +Long Shoal +haze/);
    expect(await halfturn('logbook', 'show', '2', '--logbook', file)).toMatch(
      /Flight 2,.*4 recordings of card-2/,
    );
    expect(await refused('logbook', 'remove', '1', '--logbook', file)).toMatch(/Add --yes/);
    await halfturn('logbook', 'remove', '1', '--yes', '--logbook', file);
    expect(await refused('logbook', 'show', '1', '--logbook', file)).toMatch(/There is no flight 1/);
    expect(await refused('logbook', 'show', 'one', '--logbook', file)).toMatch(/no number of a flight/);
  });

  it('goes to another machine by an export, whole and once', async () => {
    entered(1, 2);
    const exported = path.join(folder, 'export.json');
    await halfturn('logbook', 'export', '--out', exported, '--logbook', file);
    expect(await refused('logbook', 'export', '--out', exported, '--logbook', file)).toMatch(
      /is there already/,
    );
    const other = path.join(folder, 'other.sqlite');
    expect(await halfturn('logbook', 'import', exported, '--logbook', other)).toMatch(
      /8 recordings entered, 0 known/,
    );
    expect(await halfturn('logbook', 'import', exported, '--logbook', other)).toMatch(
      /0 recordings entered, 8 known/,
    );
    const [here, there] = [file, other].map((one) => openLogbook(one, { create: false }));
    expect(there!.flight(2)).toEqual(here!.flight(2));
    for (const logbook of [here!, there!]) logbook.close();
  });

  it('is a spreadsheet in CSV: a header and a line for each recording', async () => {
    entered(1);
    const lines = (await halfturn('logbook', 'export', '--format', 'csv', '--logbook', file))
      .trim()
      .split('\n');
    expect(lines).toHaveLength(5);
    expect(lines[0]).toMatch(/^flight,place,sky,recording,/);
  });

  it('says where there is none yet', async () => {
    expect(await refused('learn')).toMatch(/There is no logbook at .*Every audit enters its flight/);
    expect(existsSync(path.join(folder, 'data'))).toBe(false);
  });
});

describe('learn', () => {
  it('prints tables, JSON and a page that fetches and runs nothing', async () => {
    entered(1, 2);
    const page = path.join(folder, 'learned.html');
    // Every clip of the made flights has its shutter on, and every other one its exposure in the window.
    expect(await halfturn('learn', '--logbook', file, '--page', page)).toMatch(
      /10° to 25° +haze +8 +4\.1 +ND16 +50% of 8/,
    );
    const report = JSON.parse(await halfturn('learn', '--json', '--logbook', file)) as { format: string };
    expect(report.format).toBe('halfturn-learned');
    expect(await halfturn('logbook', '--out', path.join(folder, 'flights.html'), '--logbook', file)).toMatch(
      /The page is/,
    );
    const html = readFileSync(page, 'utf8');
    expect(html).toMatch(/default-src 'none'/);
    expect(html).not.toMatch(/<script|https?:|src=/);
  });
});

describe('plan', () => {
  it('names a filter, a second one and the chance, for a place of the logbook in any spelling', async () => {
    entered(1, 2);
    const card = path.join(folder, 'card.html');
    const text = await halfturn(
      'plan',
      '--logbook',
      file,
      '--place',
      'long shoal',
      '--at',
      '2026-01-10T12:00-08:00',
      '--sky',
      'clear',
      '--fps',
      '24,60',
      '--direction',
      'away',
      '--card',
      card,
    );
    expect(text).toMatch(
      /12:00 to 13:00 at Long Shoal: sun at 6\d°, sky clear, front light\. The sun sets at \d\d:\d\d\./,
    );
    expect(text).toMatch(
      /24 fps, 1\/48 s: Fit ND\d+ and keep ND\d+ in the pocket: one of the two lands with\s\d+%, the first with\s\d+%\./,
    );
    const html = readFileSync(card, 'utf8');
    // A line for each exposure and each change: around noon there is none.
    expect(html.match(/<th scope="row">/g)).toHaveLength(2);
    expect(html).toMatch(/Long Shoal · 2026-01-10/);
    expect(html).toMatch(/pocket ND\d+/);
    expect(html).toMatch(/Power down before touching a filter/);
    const unnamed = await halfturn('plan', '--logbook', file, '--at', '2026-01-10T12:00-08:00');
    expect(unnamed).toMatch(/12:00 to 13:00 at Long Shoal, where you flew last: sun at 6\d°/);
  });

  it('plans without a logbook, by published daylight, and a long exposure', async () => {
    const plan = JSON.parse(
      await halfturn(
        'plan',
        '--latitude',
        '50',
        '--longitude',
        '0',
        '--at',
        '2026-06-21T12:00Z',
        '--sky',
        'clear',
        '--f-number',
        '8',
        '--interval',
        '4',
        '--json',
      ),
    ) as {
      observations: number;
      exposures: { targetSeconds: number; pick: { label: string } }[];
    };
    expect(plan.observations).toBe(0);
    expect(plan.exposures.map(({ targetSeconds }) => targetSeconds)).toEqual([2]);
    // f/8 and 2 s are EV 5, the sun at 63 degrees EV 15 by the guide, less half a stop for woods and shadows: 9 to 10 stops.
    expect(['ND512', 'ND1024']).toContain(plan.exposures[0]!.pick.label);
  });

  it('is a card by the height of the sun without a place', async () => {
    expect(await halfturn('plan', '--f-number', '2.8', '--fps', '25')).toMatch(
      /By the height of the sun.*\n/,
    );
  });

  it('asks for what it cannot know', async () => {
    expect(await refused('plan')).toMatch(/aperture is not known.*--f-number/);
    expect(await refused('plan', '--place', 'nowhere')).toMatch(
      /does not know where "nowhere" is.*--latitude/,
    );
    expect(await refused('plan', '--latitude', '50')).toMatch(/given together/);
    expect(await refused('plan', '--f-number', '2.8', '--at', '2026-06-01T10:30')).toMatch(
      /--at needs a place/,
    );
    expect(await refused('plan', '--f-number', '2.8', '--for', 'long')).toMatch(/--for must be a length/);
    expect(await refused('plan', '--f-number', '2.8', '--fps', '24,fast')).toMatch(/--fps must be a number/);
    expect(
      await refused('plan', '--f-number', '2', '--latitude', '50', '--longitude', '0', '--at', 'noon'),
    ).toMatch(/--at must be a time such as 18:00/);
  });
});

describe('note', () => {
  it('writes no notes into the dump, and reads no logbook there, which would write beside it', async () => {
    const dump = smallCard();
    const inside = path.join(dump, 'flight.toml');
    expect(await refused('note', dump, '--out', inside)).toMatch(/inside the dump.*for --out/);
    expect(existsSync(inside)).toBe(false);
    expect(await refused('note', dump, '--logbook', path.join(dump, 'x.sqlite'))).toMatch(/for --logbook/);
    // Beside the top of a disk is still on it. The settings, which are not there, are never come to.
    const top = path.parse(dump).root;
    expect(await refused('note', top, '--settings', 'none.toml')).toMatch(/inside the dump.*for --out/);
  });

  it('proposes notes beside the dump that the audit then reads, and never overwrites any', async () => {
    const dump = smallCard();
    const args = [
      'note',
      dump,
      ...withSettings,
      '--measure',
      'off',
      '--place',
      'Long Shoal',
      '--sky',
      'haze',
    ];
    expect(await halfturn(...args)).toMatch(/groups? of recordings proposed in /);
    const notes = readFileSync(path.join(folder, 'card.flight.toml'), 'utf8');
    expect(notes).toMatch(/place = "Long Shoal"\nlatitude = -47\.\d+\nlongitude = -126\.\d+\nsky = "haze"/);
    expect(await refused(...args)).toMatch(/never overwritten/);
    expect(await halfturn(...args, '--print')).toBe(notes);
    await halfturn('audit', dump, ...withSettings, '--measure', 'off', '--logbook', file);
    const [flight] = JSON.parse(await halfturn('logbook', 'list', '--json', '--logbook', file)) as {
      place: string;
    }[];
    expect(flight!.place).toBe('Long Shoal');
  });
});
