import { Argument, Option, type Command } from 'commander';
import { skies } from '../domain/daylight.ts';
import type { CardPlaces } from './cards/cardPlaces.ts';
import { dumpOrCard } from './cards/dumpOrCard.ts';
import type { LearnFlags } from './commands/learn.ts';
import type { ExportFlags, LogbookFlags } from './commands/logbook.ts';
import type { NoteFlags } from './commands/note.ts';
import type { PlanFlags } from './planFlags.ts';

// Loaded when they are called, as all commands are.
const noteCommand = () => import('./commands/note.ts');
const logbookCommand = () => import('./commands/logbook.ts');
const learnCommand = () => import('./commands/learn.ts');
const planCommand = () => import('./commands/plan.ts');

type End = (status: number) => void;

const logbookOption = () => new Option('--logbook <file>', 'logbook (default: in your data folder)');
const settingsOption = () =>
  new Option('--settings <file>', 'settings (default: settings.toml in your configuration folder)');
const skyOption = () => new Option('--sky <sky>', 'what the sky was or will be').choices(skies);

/** The commands around the logbook: notes before, past flights, what they teach, the next flight. */
export function addLogbookCommands(program: Command, end: End, cardPlaces: CardPlaces): void {
  addNote(program, end, cardPlaces);
  addLogbook(program, end);
  program
    .command('learn')
    .description(
      'which filters worked, how strong they really are, and how your light differs from the books',
    )
    .addOption(logbookOption())
    .option('--json', 'print it for other programs and nothing else')
    .option('--page <file>', 'write it as a page with plots')
    .addHelpText('after', '\nExample:\n  halfturn learn --page learned.html')
    .action(async (flags: LearnFlags) => end(await (await learnCommand()).runLearn(flags)));
  addPlan(program, end);
}

function addNote(program: Command, end: End, cardPlaces: CardPlaces): void {
  program
    .command('note')
    .description('propose the notes of a flight from what was recorded, for you to confirm')
    .addArgument(new Argument('[dump]', 'folder with the copied card (default: a mounted card)'))
    .option('--out <file>', 'notes to write (default: <dump>.flight.toml beside the dump)')
    .option('--print', 'print them and write nothing')
    .option('--place <name>', 'what you call the place')
    .option('--latitude <degrees>', 'where it is, + = north; else as recorded')
    .option('--longitude <degrees>', 'where it is, + = east')
    .addOption(skyOption())
    .addOption(
      new Option('--measure <how-much>', 'how many pictures to look at')
        .choices(['off', 'sampled', 'every'])
        .default('sampled'),
    )
    .addOption(settingsOption())
    .addOption(logbookOption())
    .addHelpText(
      'after',
      '\nTimes in the notes, as in from = 10:30:00, are those of the clock at the place. Another clock needs a date and its\noffset: from = 2026-05-14T10:30:00+02:00.\n\nExample:\n  halfturn note ~/cards/monday --place "Long Shoal" --sky haze',
    )
    .action(async (dump: string | undefined, flags: NoteFlags) => {
      const { refuseNotesOnCard, runNote } = await noteCommand();
      if (dump === undefined) refuseNotesOnCard(flags);
      end(await runNote(await dumpOrCard(dump, 'note', cardPlaces), flags));
    });
}

function addLogbook(program: Command, end: End): void {
  const logbook = program
    .command('logbook')
    .description('past flights')
    .showHelpAfterError('Run "halfturn logbook --help" for what it can do.')
    .addHelpText('after', '\nExample:\n  halfturn logbook show 12');
  logbook
    .command('list', { isDefault: true })
    .description('all flights, a line each')
    .option('--json', 'print them for other programs and nothing else')
    .addOption(logbookOption())
    .action(async (flags: LogbookFlags) => end(await (await logbookCommand()).runLogbookList(flags)));
  logbook
    .command('show')
    .description('one flight with its recordings')
    .addArgument(new Argument('<number>', 'its number in the list'))
    .option('--json', 'print it for other programs and nothing else')
    .addOption(logbookOption())
    .action(async (number: string, flags: LogbookFlags) =>
      end(await (await logbookCommand()).runLogbookShow(number, flags)),
    );
  logbook
    .command('remove')
    .description('take one flight out')
    .addArgument(new Argument('<number>', 'its number in the list'))
    .addOption(logbookOption())
    .action(async (number: string, flags: LogbookFlags) =>
      end(await (await logbookCommand()).runLogbookRemove(number, flags)),
    );
  logbook
    .command('export')
    .description('print or write all flights')
    .addOption(
      new Option('--format <format>', 'json holds everything; csv is a line for each recording')
        .choices(['json', 'csv'])
        .default('json'),
    )
    .option('--out <file>', 'write it there')
    .addOption(logbookOption())
    .action(async (flags: ExportFlags) => end(await (await logbookCommand()).runLogbookExport(flags)));
  logbook
    .command('import')
    .description('enter the flights of an export; what is known already does not count twice')
    .addArgument(new Argument('<file>', 'what "export" wrote, in JSON'))
    .addOption(logbookOption())
    .action(async (file: string, flags: LogbookFlags) =>
      end(await (await logbookCommand()).runLogbookImport(file, flags)),
    );
}

function addPlan(program: Command, end: End): void {
  program
    .command('plan')
    .description('which filter to start with, the chance that it lands, and when to swap')
    .option('--at <time>', 'start, such as 2026-06-01T10:30, local time or with an offset (default: now)')
    .option('--for <minutes>', 'length of the session', '60')
    .option('--place <name>', 'a place of your logbook')
    .option('--latitude <degrees>', 'or where it is, + = north')
    .option('--longitude <degrees>', 'and + = east')
    .addOption(skyOption())
    .option('--fps <rates>', 'frame rates, such as 24,30,60 (default: those you use)')
    .option('--interval <seconds>', 'or an interval series, whose exposures last as your shutter angle says')
    .option('--exposure <seconds>', 'or long exposures of this length')
    .addOption(
      new Option('--direction <direction>', 'where the camera looks against the sun').choices([
        'away',
        'across',
        'toward',
      ]),
    )
    .option('--heading <degrees>', 'or where it looks, clockwise from north')
    .option('--camera <name>', 'as it names itself (default: the one you use)')
    .option('--f-number <number>', 'aperture (default: the one you use)')
    .option('--iso <iso>', 'sensitivity (default: base ISO of your settings)')
    .option(
      '--card <file>',
      'write a card for the filter case: by time, or by height of the sun without a place',
    )
    .option('--json', 'print the plan for other programs and nothing else')
    .addOption(settingsOption())
    .addOption(logbookOption())
    .addHelpText(
      'after',
      '\nExample:\n  halfturn plan --at 2026-06-01T18:00 --for 120 --place "Long Shoal" --sky clear --fps 24,60 --card card.html',
    )
    .action(async (flags: PlanFlags) => end(await (await planCommand()).runPlan(flags)));
}
