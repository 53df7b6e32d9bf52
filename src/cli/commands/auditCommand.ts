import path from 'node:path';
import { Option, Argument, type Command } from 'commander';
import { audit } from '../../audit/audit.ts';
import type { CacheUse } from '../../audit/options.ts';
import type { AuditDocument } from '../../document/auditDocument.ts';
import type { FittedFilter } from '../../domain/filterKit.ts';
import { HalfturnError } from '../../domain/halfturnError.ts';
import type { ZoneOffsetAt } from '../../domain/localTime.ts';
import type { RecordingPictures } from '../../domain/measurement.ts';
import { jsonReport } from '../../report/files/jsonReport.ts';
import { openPage } from '../../programs/openPage.ts';
import { terminalReport, terminalVerdict } from '../../report/terminal.ts';
import { paragraphLines } from '../../report/terminalText.ts';
import { askFitted } from '../askFitted.ts';
import { dumpOrCard } from '../cards/dumpOrCard.ts';
import { auditExitStatus, exitStatus } from '../exitStatus.ts';
import {
  fittedFromFlag,
  measureOption,
  noCacheOption,
  settingsOption,
  zoneOption,
  type CommandLine,
} from '../flags.ts';
import {
  cacheFolderFor,
  cacheTrouble,
  cacheUseSentence,
  linkedPath,
  mediaAddress,
  refuseFileAsFolder,
  refuseOutputInsideDump,
} from '../outputs.ts';
import { openLiveView } from '../liveView.ts';
import { tryReportFolder, writeReport } from '../reportFolder.ts';
import { loadSettings, settingsWithAngle } from '../settings.ts';
import { complain, outputStyle, thoughNobodyReads } from '../streams.ts';

interface AuditFlags {
  readonly out?: string;
  readonly json?: boolean;
  readonly fitted?: string;
  readonly notes?: string;
  readonly zone?: ZoneOffsetAt;
  readonly settings?: string;
  readonly checkShutter?: boolean;
  readonly shutterAngle?: string;
  readonly measure: 'off' | 'sampled' | 'every';
  readonly order: 'shooting' | 'serious';
  readonly long?: boolean;
  /** Shows the page of the report. */
  readonly open?: boolean;
  /** A file; absent for the usual one; `false` where the audit is to leave the logbook alone. */
  readonly logbook?: string | boolean;
  readonly cache?: boolean;
  readonly strict?: boolean;
  readonly quiet?: boolean;
}

export function addCommand(program: Command, { end, cardPlaces }: CommandLine): void {
  program
    .command('audit')
    .description('read and measure every clip and still under a folder (or one file)')
    .addArgument(new Argument('[dump]', 'folder with the copied card, or one file (default: a mounted card)'))
    .option('--out <folder>', 'write the report and the files for editing programs there')
    .option('--open', 'show the page of the report in the browser')
    .option('--json', 'print the audit document and nothing else')
    .option(
      '--fitted <filter>',
      'filter on the lens for the whole dump: a label of your kit, ND16, D1.2, or none',
    )
    .option(
      '--notes <file>',
      'flight notes (default: flight.toml in the dump, <dump>.flight.toml or flight.toml beside it)',
    )
    .addOption(zoneOption())
    .addOption(settingsOption())
    .option('--shutter-angle <degrees>', 'target angle instead of the one in the settings')
    .addOption(measureOption())
    .option('--check-shutter', 'hold every recorded shutter against the motion blur too')
    .addOption(
      new Option('--order <order>', 'order of the table')
        .choices(['shooting', 'serious'])
        .default('shooting'),
    )
    .option('--long', 'list and tell everything, as the page does')
    .option('--logbook <file>', 'logbook to enter the flight in (default: in your data folder)')
    .option('--no-logbook', 'leave the logbook alone')
    .addOption(noCacheOption())
    .option('--strict', 'exit status 1 when something was flagged or could not be read')
    .option('--quiet', 'no table, no progress')
    .addHelpText('after', '\nExample:\n  halfturn audit /media/card --fitted ND16 --out ~/reports/harbour')
    .action(async (dump: string | undefined, flags: AuditFlags) =>
      end(await runAudit(await dumpOrCard(dump, 'audit', cardPlaces), flags)),
    );
}

async function runAudit(dump: string, flags: AuditFlags): Promise<number> {
  await tryTargets(dump, flags);
  const owned = settingsWithAngle(await loadSettings(flags.settings), flags.shutterAngle);
  // The database, and below the page, are loaded only where they are wanted.
  const logbook = await openedLogbook(flags.logbook);
  const settings = { ...owned, zone: flags.zone };
  const cacheFolder = await cacheFolderFor(dump, flags.cache);
  const run = { dump, flags, settings, cacheFolder };
  const named = fittedFromFlag(flags.fitted, settings.kit);
  const first = await examined(run, named);
  process.stderr.write(cacheTrouble(first.cacheUse) ?? '');

  const isDone = await thoughNobodyReads(async () => {
    printAudit(first.document, flags);
    const answered =
      named ?? (isAtTerminal(flags) ? await askFitted(first.document, settings.kit) : undefined);
    const isNews = answered !== named && cacheFolder !== undefined;
    // Nothing is measured again: what was is in the cache.
    const { document, pictures } = isNews ? await examined(run, answered) : first;
    if (isNews) process.stdout.write(`\n${terminalVerdict(document, printStyle(flags))}`);
    // The table stands whatever becomes of these, and each of them whatever becomes of the other.
    const report = await orComplain(() => writtenReport(document, flags, pictures));
    say(flags, [report.sentence]);
    const entered = await orComplain(async () =>
      logbook?.enter(document, { notesFile: flags.notes, fitted: answered, settings }),
    );
    const wrapped = entered.sentence && paragraphLines(entered.sentence, outputStyle(process.stdout));
    say(flags, [...(wrapped || []), cacheUseSentence(first.cacheUse)]);
    return report.isDone && entered.isDone;
  });
  return isDone ? auditExitStatus(first.document, flags.strict === true) : exitStatus.notDone;
}

interface AuditRun {
  readonly dump: string;
  readonly flags: AuditFlags;
  readonly settings: Awaited<ReturnType<typeof loadSettings>>;
  readonly cacheFolder: string | undefined;
}

async function examined({ dump, flags, settings, cacheFolder }: AuditRun, fitted: FittedFilter | undefined) {
  const view = openLiveView(flags.quiet === true ? undefined : process.stderr);
  const stopListening = sayWhatIsRemembered(view, cacheFolder);
  let cacheUse: CacheUse = { fromCache: 0, total: 0 };
  const pictures: RecordingPictures[] = [];
  const document = await audit(dump, {
    ...settings,
    measure: flags.measure,
    checkShutter: flags.checkShutter,
    cacheFolder,
    onCacheUse: (use) => (cacheUse = use),
    onStart: view.onStart,
    onRead: view.onRead,
    onProgress: view.onProgress,
    onPictures: flags.out === undefined ? undefined : (small) => void pictures.push(small),
    fitted,
    notesFile: flags.notes,
  }).finally(() => {
    view.clear();
    stopListening();
  });
  return { document, pictures, cacheUse };
}

/** One that is interrupted at a terminal has not worked for nothing; how it ends is for main.ts to say. */
function sayWhatIsRemembered(
  view: ReturnType<typeof openLiveView>,
  cacheFolder: string | undefined,
): () => void {
  const say = (): void => {
    view.clear();
    const { done, total } = view.progress();
    if (cacheFolder !== undefined && done > 0)
      process.stderr.write(
        `halfturn: Interrupted. ${done} of ${total} files are done and remembered: the same audit goes on from there.\n`,
      );
  };
  process.prependListener('SIGINT', say);
  return () => void process.off('SIGINT', say);
}

/** Before minutes of measuring, not after them. */
async function tryTargets(dump: string, { out, logbook, open }: AuditFlags): Promise<void> {
  if (open === true && out === undefined)
    throw new HalfturnError('--open shows the page of a report.', 'Name a folder for it with --out.');
  if (typeof logbook === 'string') await refuseOutputInsideDump(logbook, dump, '--logbook');
  if (out === undefined) return;
  await refuseFileAsFolder(out);
  await refuseOutputInsideDump(out, dump);
  tryReportFolder(out);
}

async function openedLogbook(named: AuditFlags['logbook']) {
  const { faultsWithoutLogbook, openedForAudit } = await import('../logbookFile.ts');
  if (named === false) return { enter: faultsWithoutLogbook };
  return openedForAudit(typeof named === 'string' ? named : undefined);
}

function printAudit(document: AuditDocument, flags: AuditFlags): void {
  if (flags.json === true) process.stdout.write(jsonReport(document));
  else if (flags.quiet !== true) process.stdout.write(terminalReport(document, printStyle(flags)));
}

function printStyle({ order, long }: AuditFlags) {
  return { ...outputStyle(process.stdout), order, long };
}

/** Nobody is asked anything where nobody could answer, or where only the document is wanted. */
function isAtTerminal({ json, quiet }: AuditFlags): boolean {
  return json !== true && quiet !== true && process.stdin.isTTY && process.stdout.isTTY;
}

/** What stands below the table. */
function say({ json, quiet }: AuditFlags, sentences: readonly (string | undefined)[]): void {
  const lines = sentences.filter((sentence) => sentence !== undefined);
  if (json === true || quiet === true || lines.length === 0) return;
  process.stdout.write(`\n${lines.join('\n')}\n`);
}

/** Whether the work was done, and the sentence that it ends with; what is in its way is complained of. */
async function orComplain(
  work: () => Promise<string | undefined>,
): Promise<{ readonly isDone: boolean; readonly sentence?: string }> {
  try {
    return { isDone: true, sentence: await work() };
  } catch (error) {
    if (!(error instanceof HalfturnError)) throw error;
    complain(error);
    return { isDone: false };
  }
}

async function writtenReport(
  document: AuditDocument,
  { out, open }: AuditFlags,
  pictures: readonly RecordingPictures[],
): Promise<string | undefined> {
  if (out === undefined) return undefined;
  const { reportFiles } = await import('../../report/index.ts');
  await writeReport(out, reportFiles(document, pictures, mediaAddress(out, document.dump)));
  const page = path.join(out, 'report.html');
  if (open === true) openPage(page);
  return `The report is in ${out}: open ${linkedPath(page, process.stdout)} first.`;
}
