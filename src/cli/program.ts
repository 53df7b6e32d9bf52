import { Argument, Command, Option } from 'commander';
import type { CardPlaces } from './cards/cardPlaces.ts';
import { dumpOrCard } from './cards/dumpOrCard.ts';
import type { AuditFlags } from './commands/audit.ts';
import type { KitAddFlags, KitFlags } from './commands/kit.ts';
import type { ReportFlags } from './commands/report.ts';
import type { ShowFlags } from './commands/show.ts';
import { addLogbookCommands } from './logbookCommands.ts';
import { packageVersion } from './packageVersion.ts';

const measureOption = new Option('--measure <how-much>', 'how many pictures to look at')
  .choices(['off', 'sampled', 'every'])
  .default('sampled');

const noCacheOption = new Option('--no-cache', 'measure everything anew and remember nothing');

// Each command is loaded when it is called: an audit need not wait for the code of all the others.
const auditCommand = () => import('./commands/audit.ts');
const showCommand = () => import('./commands/show.ts');
const reportCommand = () => import('./commands/report.ts');
const explainCommand = () => import('./commands/explain.ts');
const kitCommand = () => import('./commands/kit.ts');
const schemaCommand = () => import('./commands/schema.ts');
const doctorCommand = () => import('./commands/doctor.ts');

/** The tree of commands. `end` takes the exit status of a command that finished. */
export function buildProgram(end: (status: number) => void, cardPlaces: CardPlaces): Command {
  const program = new Command('halfturn')
    .description(
      'Checks a memory-card dump after a flight: was the shutter right, what clipped, which ND filter would have fixed it.',
    )
    .version(packageVersion(), '--version')
    .helpOption('--help')
    .exitOverride()
    .configureOutput({ outputError: (text, write) => write(text.replace(/^error: /, 'halfturn: ')) })
    .showHelpAfterError('Run "halfturn --help" for the commands and options.');

  program
    .command('audit')
    .description('read and measure every clip and still under a folder (or one file)')
    .addArgument(new Argument('[dump]', 'folder with the copied card, or one file (default: a mounted card)'))
    .option('--out <folder>', 'write the report and the files for editing programs there')
    .option('--json', 'print the audit document and nothing else')
    .option(
      '--fitted <filter>',
      'filter on the lens for the whole dump: a label of your kit, ND16, D1.2, or none',
    )
    .option(
      '--notes <file>',
      'flight notes (default: flight.toml in the dump, <dump>.flight.toml or flight.toml beside it)',
    )
    .option('--settings <file>', 'settings (default: settings.toml in your configuration folder)')
    .option('--shutter-angle <degrees>', 'target angle instead of the one in the settings')
    .addOption(measureOption)
    .option('--check-shutter', 'hold every recorded shutter against the motion blur too')
    .addOption(
      new Option('--order <order>', 'order of the table')
        .choices(['shooting', 'serious'])
        .default('shooting'),
    )
    .option('--logbook <file>', 'logbook to enter the flight in (default: in your data folder)')
    .option('--no-logbook', 'leave the logbook alone')
    .addOption(noCacheOption)
    .option('--strict', 'exit status 1 when something was flagged or could not be read')
    .option('--quiet', 'no table, no progress')
    .addHelpText('after', '\nExample:\n  halfturn audit /media/card --fitted ND16 --out ~/reports/harbour')
    .action(async (dump: string | undefined, flags: AuditFlags) =>
      end(await (await auditCommand()).runAudit(await dumpOrCard(dump, 'audit', cardPlaces), flags)),
    );

  program
    .command('show')
    .description('all that is known of one recording, where it was read, and how each number was found')
    .addArgument(new Argument('<file>', 'a clip or a still'))
    .option('--fitted <filter>', 'filter on the lens: a label of your kit, ND16, D1.2, or none')
    .option('--settings <file>', 'settings (default: settings.toml in your configuration folder)')
    .addOption(measureOption)
    .option('--check-shutter', 'hold the recorded shutter against the motion blur too')
    .addOption(noCacheOption)
    .addHelpText('after', '\nExample:\n  halfturn show DCIM/100AERO/CLIP0003.MP4')
    .action(async (file: string, flags: ShowFlags) => end(await (await showCommand()).runShow(file, flags)));

  program
    .command('report')
    .description('write the report of an audit again, from its audit.json')
    .addArgument(new Argument('<audit.json>', 'what an audit wrote, of this version or an earlier one'))
    .requiredOption('--out <folder>', 'write the report and the files for editing programs there')
    .addHelpText('after', '\nExample:\n  halfturn report ~/reports/harbour/audit.json --out ~/reports/again')
    .action(async (file: string, flags: ReportFlags) =>
      end(await (await reportCommand()).runReport(file, flags)),
    );

  program
    .command('explain')
    .description('what a finding means, from where on it is said, who says so, and what to do about it')
    .addArgument(new Argument('[finding]', 'a kind of finding (default: all kinds in a list)'))
    .addHelpText('after', '\nExample:\n  halfturn explain highlights-clipped')
    .action(async (finding: string | undefined) => end((await explainCommand()).runExplain(finding)));

  addKitCommand(program, end);
  addLogbookCommands(program, end, cardPlaces);

  program
    .command('schema')
    .description('print the JSON Schema of the audit document')
    .addHelpText('after', '\nExample:\n  halfturn schema > audit.schema.json')
    .action(async () => end((await schemaCommand()).runSchema()));

  program
    .command('doctor')
    .description('what this installation can and cannot do, and how to mend it')
    .addHelpText('after', '\nExample:\n  halfturn doctor')
    .action(async () => end(await (await doctorCommand()).runDoctor()));

  return program;
}

function addKitCommand(program: Command, end: (status: number) => void): void {
  const kit = program
    .command('kit')
    .description('the filters you own, with stops, factor and optical density side by side')
    .showHelpAfterError('Run "halfturn kit --help" for what it can do.')
    .addHelpText('after', '\nExample:\n  halfturn kit add ND16');
  const settingsOption = () =>
    new Option('--settings <file>', 'settings (default: settings.toml in your configuration folder)');
  kit
    .command('list', { isDefault: true })
    .description('show them')
    .addOption(settingsOption())
    .action(async (flags: KitFlags) => end(await (await kitCommand()).runKitList(flags)));
  kit
    .command('add')
    .description('add one to the settings')
    .addArgument(new Argument('<label>', 'what you call it; ND16 and D1.2 say their strength themselves'))
    .option('--stops <stops>', 'its strength in stops')
    .option('--factor <factor>', 'or as a factor, such as 16')
    .option('--density <density>', 'or as an optical density, such as 1.2')
    .option('--range <stops>', 'or, of a variable filter, from weakest to strongest, such as 2-5')
    .option('--polariser', 'it holds a polariser, whose loss is part of its strength')
    .option('--polariser-stops <stops>', 'what its polariser takes beside its strength')
    .option('--graduated', 'it darkens a part of the picture only: owned, and never counted')
    .addOption(settingsOption())
    .addHelpText(
      'after',
      '\nExample:\n  halfturn kit add "ND8 with polariser" --factor 8 --polariser-stops 1.4',
    )
    .action(async (label: string, flags: KitAddFlags) =>
      end(await (await kitCommand()).runKitAdd(label, flags)),
    );
  kit
    .command('remove')
    .description('take one out of the settings')
    .addArgument(new Argument('<label>', 'what you call it'))
    .addOption(settingsOption())
    .addHelpText('after', '\nExample:\n  halfturn kit remove ND16')
    .action(async (label: string, flags: KitFlags) =>
      end(await (await kitCommand()).runKitRemove(label, flags)),
    );
}
