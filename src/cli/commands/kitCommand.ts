import { readFile } from 'node:fs/promises';
import { Argument, type Command } from 'commander';
import { displayText } from '../../domain/displayText.ts';
import { factorFromStops, parseFilterName, densityFromStops } from '../../domain/filter.ts';
import type { KitFilter } from '../../domain/filterKit.ts';
import { stopsInWords } from '../../domain/format.ts';
import { HalfturnError } from '../../domain/halfturnError.ts';
import { fileTrouble } from '../../programs/fileTrouble.ts';
import { textTable } from '../../report/table.ts';
import { exitStatus } from '../exitStatus.ts';
import { numberFlag, numberOption, settingsOption, type CommandLine } from '../flags.ts';
import {
  filterBounds,
  nominalStops,
  strengthFault,
  tradeFilter,
  withFilter,
  withoutFilter,
} from '../kitSettings.ts';
import { defaultSettingsFile, loadSettings, parseSettings, storeSettings } from '../settings.ts';

interface KitFlags {
  readonly settings?: string;
}

interface KitAddFlags extends KitFlags {
  readonly stops?: number;
  readonly factor?: number;
  readonly density?: number;
  readonly range?: string;
  readonly polariser?: boolean;
  readonly polariserStops?: number;
  readonly graduated?: boolean;
}

export function addCommand(program: Command, { end }: CommandLine): void {
  const kit = program
    .command('kit')
    .description('the filters you own, with stops, factor and optical density side by side')
    .addHelpText('after', '\nExample:\n  halfturn kit add ND16');
  kit
    .command('list', { isDefault: true })
    .description('show them')
    .addOption(settingsOption())
    .action(async (flags: KitFlags) => end(await runKitList(flags)));
  kit
    .command('add')
    .description('add filters to the settings')
    .addArgument(
      new Argument('<label...>', 'what you call it; ND16 and D1.2 say their strength, so several may follow'),
    )
    .addOption(numberOption('--stops <stops>', 'its strength in stops', filterBounds.stops))
    .addOption(numberOption('--factor <factor>', 'or as a factor, such as 16', filterBounds.factor))
    .addOption(
      numberOption('--density <density>', 'or as an optical density, such as 1.2', filterBounds.density),
    )
    .option('--range <stops>', 'or, of a variable filter, from weakest to strongest, such as 2-5')
    .option('--polariser', 'it holds a polariser, whose loss is part of its strength')
    .addOption(
      numberOption(
        '--polariser-stops <stops>',
        'what its polariser takes beside its strength',
        filterBounds.polariserStops,
      ),
    )
    .option('--graduated', 'it darkens a part of the picture only: owned, and never counted')
    .addOption(settingsOption())
    .addHelpText(
      'after',
      '\nExamples:\n  halfturn kit add ND8 ND16 ND64\n  halfturn kit add "ND8 with polariser" --factor 8 --polariser-stops 1.4',
    )
    .action(async (labels: readonly string[], flags: KitAddFlags) => end(await runKitAdd(labels, flags)));
  kit
    .command('remove')
    .description('take one out of the settings')
    .addArgument(new Argument('<label>', 'what you call it'))
    .addOption(settingsOption())
    .addHelpText('after', '\nExample:\n  halfturn kit remove ND16')
    .action(async (label: string, flags: KitFlags) => end(await runKitRemove(label, flags)));
}

async function runKitList({ settings }: KitFlags): Promise<number> {
  const { kit, kitAssumed } = await loadSettings(settings);
  if (kitAssumed)
    process.stdout.write(
      'No filters are set, so the common strengths stand in. Add yours with "halfturn kit add".\n',
    );
  process.stdout.write(kitTable(kit));
  return exitStatus.finished;
}

async function runKitAdd(labels: readonly string[], flags: KitAddFlags): Promise<number> {
  const file = flags.settings ?? defaultSettingsFile();
  const before = await settingsText(file);
  const { kit, kitAssumed } = parseSettings(before, file);
  refuseSharedStrength(labels, flags);
  let text: string | undefined = before;
  for (const label of labels) {
    const filter = describedFilter(label, flags);
    refuseFaults(label, filter);
    if (!kitAssumed) refuseOwned(label, kit);
    text = text === undefined ? undefined : withFilter(text, filter);
  }
  await store(file, text);
  return runKitList({ settings: file });
}

/** Strengths are of one filter; only labels that say theirs stand together. */
function refuseSharedStrength(labels: readonly string[], flags: KitAddFlags): void {
  const strength = { ...flags, settings: undefined };
  if (labels.length < 2 || Object.values(strength).every((value) => value === undefined)) return;
  throw new HalfturnError(
    'What is said of the strength is of one filter, and several were named.',
    'Add those one at a time; quote a label that has spaces.',
  );
}

function refuseOwned(label: string, kit: readonly KitFilter[]): void {
  const owned = kit.find((filter) => filter.label.toLowerCase() === label.toLowerCase());
  if (owned === undefined) return;
  throw new HalfturnError(
    `${displayText(owned.label)} is in your kit already, with ${stopsInWords(owned.stops)}.`,
    `A second one needs another label; "halfturn kit remove" takes the first one out.`,
  );
}

async function runKitRemove(label: string, flags: KitFlags): Promise<number> {
  const file = flags.settings ?? defaultSettingsFile();
  const text = await settingsText(file);
  const { kit, kitAssumed } = parseSettings(text, file);
  const index = kitAssumed
    ? -1
    : kit.findIndex((filter) => filter.label.toLowerCase() === label.toLowerCase());
  if (index === -1)
    throw new HalfturnError(
      `"${displayText(label)}" is no filter of your kit.`,
      'See "halfturn kit list" for those that are.',
    );
  await store(file, withoutFilter(text, index));
  return runKitList({ settings: file });
}

function describedFilter(label: string, flags: KitAddFlags) {
  const { stops, factor, density, range, polariser, polariserStops, graduated } = flags;
  const stopsRange = range === undefined ? undefined : rangeOf(range);
  const kind = graduated === true ? ('graduated' as const) : undefined;
  const given = { label, stops, factor, density, stopsRange, kind, polariser, polariserStops };
  // Nothing but a trade name was given: it says the strength.
  const named = Object.values(given).every((value) => value === undefined || value === label)
    ? parseFilterName(label)
    : undefined;
  return named === undefined ? given : { ...given, ...tradeFilter(label, named.stops) };
}

/** A filter that was measured may be off its label by this much, and not by more (common practice, no source). */
const labelOffStops = 0.5;

/** In the words of the command line: nobody has written the settings file yet. */
function refuseFaults(label: string, filter: ReturnType<typeof describedFilter>): void {
  if (label.trim() === '')
    throw new HalfturnError('A filter needs a label.', 'Give it a name, such as "halfturn kit add ND16".');
  const fault = strengthFault(filter);
  const said = nominalStops(filter);
  const named = parseFilterName(label);
  if (
    fault === undefined &&
    said !== undefined &&
    named !== undefined &&
    Math.abs(said - named.stops) > labelOffStops
  )
    throw new HalfturnError(
      `${named.label} takes ${stopsInWords(named.stops)}, but ${stopsInWords(said)} were said.`,
      `Leave the strength out, or give it another label.`,
    );
  if (fault === undefined) return;
  throw new HalfturnError(
    `"${displayText(label)}" cannot be added: ${fault}.`,
    'Say how strong it is by one of --stops, --factor, --density and, of a variable filter, --range 2-5.',
  );
}

function rangeOf(text: string): [number, number] {
  const [, weakest = '', strongest = ''] = /^(\d+(?:\.\d+)?)\s*-\s*(\d+(?:\.\d+)?)$/.exec(text) ?? [];
  if (weakest === '')
    throw new HalfturnError(`--range must be like 2-5 in stops, but is "${displayText(text)}".`);
  const bounded = (stops: string) => numberFlag('--range', stops, filterBounds.stops);
  const range: [number, number] = [bounded(weakest), bounded(strongest)];
  if (range[0] >= range[1])
    throw new HalfturnError(`--range must rise from weakest to strongest, but is "${displayText(text)}".`);
  return range;
}

async function settingsText(file: string): Promise<string> {
  return readFile(file, 'utf8').catch((error: NodeJS.ErrnoException) => {
    if (error.code === 'ENOENT') return '';
    throw new HalfturnError(`The settings file "${file}" could not be read: ${fileTrouble(error)}.`);
  });
}

/** What comes of a change to the text; undefined where none could be made. */
async function store(file: string, text: string | undefined): Promise<void> {
  if (text === undefined)
    throw new HalfturnError(
      `"${file}" writes its filters in a form that Halfturn does not change.`,
      'Edit the file by hand: one [[filter]] for each filter.',
    );
  await storeSettings(file, text);
}

/** A kit with each filter's strength in the three notations in which filters are sold, the weakest first. */
function kitTable(kit: readonly KitFilter[]): string {
  const rows = kit.toSorted((a, b) => a.stops - b.stops).map(cells);
  return textTable([['filter', 'stops', 'factor', 'density', ''], ...rows]);
}

function cells(filter: KitFilter): readonly string[] {
  const { label, stops, rangeStops, graduated, polariser, spreadStops } = filter;
  const notes = [
    rangeStops && 'variable',
    polariser && !rangeStops && 'with polariser',
    graduated && 'graduated, not counted',
    spreadStops !== undefined && 'loss assumed: measure it',
  ].filter((note) => typeof note === 'string');
  if (graduated === true && stops === 0) return [label, '', '', '', notes.join(', ')];
  const both = (notation: (strength: number) => string) =>
    rangeStops === undefined ? notation(stops) : rangeStops.map(notation).join(' to ');
  return [
    label,
    both((strength) => strength.toFixed(2)),
    both((strength) => factorText(factorFromStops(strength))),
    both((strength) => densityFromStops(strength).toFixed(2)),
    notes.join(', '),
  ];
}

/** Labels are whole from 100 on; below, three digits tell ND32 from a density of 1.5. */
function factorText(factor: number): string {
  return String(factor < 100 ? Number(factor.toPrecision(3)) : Math.round(factor));
}
