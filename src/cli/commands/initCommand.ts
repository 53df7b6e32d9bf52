import { createInterface } from 'node:readline';
import { stat } from 'node:fs/promises';
import type { Command } from 'commander';
import { displayText } from '../../domain/displayText.ts';
import { parseFilterName } from '../../domain/filter.ts';
import { HalfturnError } from '../../domain/halfturnError.ts';
import { defaultLimits } from '../../domain/limits.ts';
import { namedZone, zoneWish } from '../../reading/timeZone.ts';
import { exitStatus } from '../exitStatus.ts';
import { numberFlag, settingsOption, type CommandLine } from '../flags.ts';
import { tradeFilter, withFilter } from '../kitSettings.ts';
import { defaultSettingsFile, storeSettings } from '../settings.ts';

interface InitFlags {
  readonly kit?: string;
  readonly baseIso?: string;
  readonly shutterAngle?: string;
  readonly zone?: string;
  readonly settings?: string;
}

type Answers = Omit<InitFlags, 'settings'>;

export function addCommand(program: Command, { end }: CommandLine): void {
  program
    .command('init')
    .description('write your first settings: filters, base ISO, target angle, time zone')
    .option('--kit <filters>', 'the filters you own, such as "ND8 ND16 ND64"')
    .option('--base-iso <iso>', 'the ISO at which your camera is at its best')
    .option('--shutter-angle <degrees>', 'the angle to aim for')
    .option('--zone <zone>', 'time zone of clocks that recorded none, such as Europe/Berlin')
    .addOption(settingsOption())
    .addHelpText(
      'after',
      '\nOn a terminal it asks for what was not said.\n\nExample:\n  halfturn init --kit "ND8 ND16 ND64" --zone Europe/Berlin',
    )
    .action(async (flags: InitFlags) => end(await runInit(flags)));
}

interface Question {
  readonly name: keyof Answers;
  readonly text: string;
  /** What Enter means. */
  readonly usual: string;
  /** Throws where an answer cannot be taken. */
  readonly check: (answer: string) => unknown;
}

const questions: readonly Question[] = [
  {
    name: 'kit',
    text: 'Which filters do you own? Such as ND8 ND16 ND64; Enter for none yet',
    usual: '',
    check: filtersOf,
  },
  {
    name: 'baseIso',
    text: `Base ISO of your camera? Enter for ${defaultLimits.baseIso}`,
    usual: String(defaultLimits.baseIso),
    check: (answer) => numberFlag('The base ISO', answer, { least: 1, most: 1e6 }),
  },
  {
    name: 'shutterAngle',
    text: `Shutter angle to aim for, in degrees? Enter for ${defaultLimits.shutterAngleDegrees}`,
    usual: String(defaultLimits.shutterAngleDegrees),
    check: (answer) => numberFlag('The shutter angle', answer, { least: 1, most: 360 }),
  },
  {
    name: 'zone',
    text: `Time zone where you usually fly? Enter for ${computerZone()}`,
    usual: computerZone(),
    check: zoneNamed,
  },
];

async function runInit({ settings, ...said }: InitFlags): Promise<number> {
  const file = settings ?? defaultSettingsFile();
  for (const { name, check } of questions) if (said[name] !== undefined) check(said[name]);
  const isTerminal = process.stdin.isTTY && process.stderr.isTTY;
  const isThere = await stat(file).then(
    () => true,
    () => false,
  );
  if (!isTerminal) {
    if (isThere) throw isThereAlready(file);
    if (Object.values(said).every((answer) => answer === undefined)) throw nobodyToAsk();
  }
  const answers = isTerminal ? await asked(said, isThere ? file : undefined) : said;
  await storeSettings(file, settingsText(answers));
  process.stdout.write(
    `Your settings are in ${displayText(file)}. "halfturn kit" shows your filters; the rest is changed in the file.\n`,
  );
  return exitStatus.finished;
}

/** Asks for what was not said, and first whether a file may go that is there. */
async function asked(said: Answers, taken: string | undefined): Promise<Answers> {
  // Lines as the terminal gives them, so that Ctrl-C remains the signal that it is.
  const lines = createInterface({ input: process.stdin, terminal: false });
  const typed = lines[Symbol.asyncIterator]();
  const ask = async (question: string): Promise<string> => {
    process.stderr.write(`${question}: `);
    const { value, done } = await typed.next();
    if (done === true) throw new HalfturnError('Nothing was written.');
    return value.trim();
  };
  try {
    if (
      taken !== undefined &&
      !/^y(?:es)?$/i.test(
        await ask(`${displayText(taken)} is there already. Write it anew? y or Enter for no`),
      )
    )
      throw new HalfturnError(
        'Nothing was written.',
        '"halfturn kit add" adds filters to the settings that are there.',
      );
    const answers: Record<string, string | undefined> = { ...said };
    for (const question of questions) answers[question.name] ??= await answerTo(question, ask);
    return answers;
  } finally {
    lines.close();
  }
}

async function answerTo(
  { text, usual, check }: Question,
  ask: (question: string) => Promise<string>,
): Promise<string> {
  for (;;) {
    const answer = (await ask(text)) || usual;
    try {
      check(answer);
      return answer;
    } catch (error) {
      if (!(error instanceof HalfturnError)) throw error;
      process.stderr.write(`${error.message} ${error.hint ?? ''}\n`);
    }
  }
}

/** The answers as settings: what is as it would be without them is left out. */
function settingsText({ kit, baseIso, shutterAngle, zone }: Answers): string {
  const parts = [
    zone === undefined ? '' : `zone = ${JSON.stringify(zoneNamed(zone))} # of clocks that recorded none\n`,
    shutterAngle === undefined ? '' : `[shutter]\nangleDegrees = ${Number(shutterAngle)}\n`,
    baseIso === undefined ? '' : `[exposure]\nbaseIso = ${Number(baseIso)}\n`,
  ];
  const text = parts.filter((part) => part !== '').join('\n');
  return filtersOf(kit ?? '').reduce((before, filter) => withFilter(before, filter) ?? before, text);
}

function filtersOf(text: string) {
  const labels = text.split(/[\s,;]+/).filter((label) => label !== '');
  const names = new Map(labels.map((label) => [label.toLowerCase(), label]));
  return [...names.values()].map((label) => {
    const named = parseFilterName(label);
    if (named !== undefined && named.stops > 0) return tradeFilter(named.label, named.stops);
    throw new HalfturnError(
      `"${displayText(label)}" does not say how strong it is.`,
      'Name filters such as ND16 or D1.2; add others later with "halfturn kit add".',
    );
  });
}

function computerZone(): string {
  return new Intl.DateTimeFormat().resolvedOptions().timeZone;
}

/** A name of the IANA time zone database, as it is written there. */
function zoneNamed(name: string): string {
  if (namedZone(name) === undefined)
    throw new HalfturnError(`The zone ${zoneWish}, but is "${displayText(name)}".`);
  return new Intl.DateTimeFormat('en', { timeZone: name }).resolvedOptions().timeZone;
}

function isThereAlready(file: string): HalfturnError {
  return new HalfturnError(
    `"${displayText(file)}" is there already, and nothing is overwritten without asking.`,
    'Use "halfturn kit add", edit the file, or name another one with --settings.',
  );
}

function nobodyToAsk(): HalfturnError {
  return new HalfturnError(
    'There is no terminal to ask on.',
    'Say it: halfturn init --kit "ND8 ND16 ND64" --base-iso 100 --shutter-angle 180 --zone Europe/Berlin',
  );
}
