import type { Command } from 'commander';
import { ev100 } from '../../domain/exposure.ts';
import type { LearnedReport } from '../../domain/learned.ts';
import { exposureSecondsForAngle } from '../../domain/shutter.ts';
import { learn, lightOf, mostForLight } from '../../logbook/learning.ts';
import { expectedLight, rangeOf } from '../../logbook/lightModel.ts';
import type { Logbook } from '../../logbook/store.ts';
import { sunPosition } from '../../logbook/sunPosition.ts';
import { learnedPage } from '../../report/logbook/learnedPage.tsx';
import { learnedText } from '../../report/logbook/learnedText.ts';
import { exitStatus } from '../exitStatus.ts';
import { logbookOption, settingsOption, type CommandLine } from '../flags.ts';
import { endAtOnce, withLogbook } from '../logbookFile.ts';
import { writePage } from '../outputs.ts';
import { loadSettings } from '../settings.ts';
import { outputStyle } from '../streams.ts';

interface LearnFlags {
  readonly logbook?: string;
  readonly settings?: string;
  readonly json?: boolean;
  readonly page?: string;
}

type Settings = Awaited<ReturnType<typeof loadSettings>>;

export function addCommand(program: Command, { end }: CommandLine): void {
  program
    .command('learn')
    .description('what to fit differently, from what your flights needed and got')
    .addOption(settingsOption())
    .addOption(logbookOption())
    .option('--json', 'print it for other programs and nothing else')
    .option('--page <file>', 'write it as a page')
    .addHelpText('after', '\nExample:\n  halfturn learn --page learned.html')
    .action(async (flags: LearnFlags) => end(await runLearn(flags)));
}

async function runLearn({ logbook: file, settings: settingsFile, json, page }: LearnFlags): Promise<number> {
  endAtOnce();
  const settings = await loadSettings(settingsFile);
  const report = await withLogbook(file, false, (logbook) =>
    learn({
      observations: logbook.observations(),
      kit: settings.kit.filter(({ graduated }) => graduated !== true),
      generatedAt: new Date().toISOString(),
      today: todayOf(logbook, settings, Date.now()),
    }),
  );
  if (page !== undefined) await writePage(page, learnedPage(report));
  process.stdout.write(
    json === true
      ? `${JSON.stringify(report, undefined, 2)}\n`
      : learnedText(report, outputStyle(process.stdout).columns),
  );
  if (page !== undefined && json !== true) process.stdout.write(`\nThe page is ${page}.\n`);
  return exitStatus.finished;
}

/** Where was flown last, at the rate that is used most: what the light of this moment would ask for. */
function todayOf(logbook: Logbook, { limits }: Settings, atMs: number): LearnedReport['today'] {
  const { fNumber, framesPerSecond, camera, pitchDegrees } = logbook.habits();
  const last = logbook.lastPlace();
  const [rate] = framesPerSecond;
  if (last === undefined || fNumber === undefined || rate === undefined) return undefined;
  const { elevationDegrees } = sunPosition({ atMs, ...last });
  if (elevationDegrees < 0) return undefined;
  const { place } = last;
  const model = lightOf(logbook.observations(mostForLight));
  const light = expectedLight(model, { elevationDegrees, camera, place, pitchDegrees });
  const { shutterAngleDegrees: angleDegrees, windowStops, baseIso: iso } = limits;
  const exposureSeconds = exposureSecondsForAngle({ angleDegrees, framesPerSecond: rate });
  const wanted = ev100({ fNumber, exposureSeconds, iso })! + (windowStops[0] + windowStops[1]) / 2;
  const [low, high] = rangeOf(light).map((end) => end - wanted) as [number, number];
  return { place, sunElevationDegrees: elevationDegrees, neededStops: [low, light.ev100 - wanted, high] };
}
