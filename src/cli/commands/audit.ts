import { auditInto } from '../../audit/auditInto.ts';
import { examinerAside } from '../../audit/examinerAside.ts';
import type { Remembered } from '../../audit/options.ts';
import { openScratchFile, type ScratchFile } from '../../remembering/scratchFile.ts';
import { jsonReport } from '../../reporting/json.ts';
import { terminalReport } from '../../reporting/terminal.ts';
import { cacheFolderFor, cacheTrouble, rememberedSentence } from '../cacheFolder.ts';
import type { LogbookFlag } from '../auditLogbook.ts';
import { auditExitStatus } from '../exitStatus.ts';
import { refuseFileAsFolder, refuseOutputInsideDump, writeOutputs } from '../outputs.ts';
import { collectEarly } from '../heap.ts';
import { showProgress } from '../progress.ts';
import { loadSettings, settingsWithAngle } from '../settings.ts';
import { fittedFromFlag } from '../fittedFlag.ts';
import { outputStyle } from '../outputStyle.ts';
import { picturesAside } from '../picturesAside.ts';
import { scratchFolderFor } from '../scratchFolder.ts';

export interface AuditFlags {
  readonly out?: string;
  readonly json?: boolean;
  readonly fitted?: string;
  readonly notes?: string;
  readonly settings?: string;
  readonly checkShutter?: boolean;
  readonly shutterAngle?: string;
  readonly measure: 'off' | 'sampled' | 'every';
  readonly order: 'shooting' | 'serious';
  readonly logbook?: LogbookFlag;
  readonly cache?: boolean;
  readonly strict?: boolean;
  readonly quiet?: boolean;
}

export async function runAudit(dump: string, flags: AuditFlags): Promise<number> {
  const scratch = openScratchFile(await scratchFolderFor(dump), collectEarly());
  return auditAndReport(dump, flags, scratch).finally(scratch.remove);
}

async function auditAndReport(dump: string, flags: AuditFlags, scratch: ScratchFile): Promise<number> {
  if (flags.out !== undefined) {
    await refuseFileAsFolder(flags.out);
    await refuseOutputInsideDump(flags.out, dump);
  }
  if (typeof flags.logbook === 'string') await refuseOutputInsideDump(flags.logbook, dump, '--logbook');
  const owned = settingsWithAngle(await loadSettings(flags.settings), flags.shutterAngle);
  // The database, and below the page, are loaded only where they are wanted.
  const logbook = flags.logbook === false ? undefined : await import('../auditLogbook.ts');
  const settings = { ...owned, kit: (await logbook?.kitOfLogbook(flags.logbook, owned.kit)) ?? owned.kit };
  const fitted = fittedFromFlag(flags.fitted, settings.kit);
  const progress = showProgress(flags.quiet === true ? undefined : process.stderr);
  const cacheFolder = await cacheFolderFor(dump, flags.cache);
  let remembered: Remembered = { remembered: 0, total: 0 };
  const pictures = flags.out === undefined ? undefined : picturesAside(scratch);
  const document = await auditInto({ scratch, examiner: examinerAside() }, dump, {
    ...settings,
    measure: flags.measure,
    checkShutter: flags.checkShutter === true,
    generatedAt: new Date().toISOString(),
    onProgress: progress.step,
    ...(cacheFolder === undefined ? {} : { cacheFolder }),
    onRemembered: (how) => (remembered = how),
    ...(pictures === undefined ? {} : { onPictures: pictures.add }),
    ...(fitted === undefined ? {} : { fitted }),
    ...(flags.notes === undefined ? {} : { notesFile: flags.notes }),
  }).finally(progress.clear);
  process.stderr.write(cacheTrouble(remembered) ?? '');

  const entered = await logbook?.enterAudit({
    document,
    flag: flags.logbook,
    notesFile: flags.notes,
    fitted,
    kit: settings.kit,
  });
  if (flags.out !== undefined) {
    const { reportFiles } = await import('../../reporting/index.ts');
    await writeOutputs(flags.out, reportFiles(document, pictures?.pictures()));
  }
  if (flags.json === true) for (const piece of jsonReport(document)) process.stdout.write(piece);
  else if (flags.quiet !== true) {
    process.stdout.write(terminalReport(document, { ...outputStyle(process.stdout), order: flags.order }));
    if (flags.out !== undefined)
      process.stdout.write(`\nThe report is in ${flags.out}: open report.html first.\n`);
    const closing = [entered, rememberedSentence(remembered)].filter((said) => said !== undefined);
    if (closing.length > 0) process.stdout.write(`\n${closing.join('\n')}\n`);
  }
  return auditExitStatus(document, flags.strict === true);
}
