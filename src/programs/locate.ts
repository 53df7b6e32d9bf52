import { createHash } from 'node:crypto';
import { constants } from 'node:fs';
import { access } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { delimiter, isAbsolute, join } from 'node:path';
import { HalfturnError } from '../domain/halfturnError.ts';
import { missingFeatures } from './features.ts';
import { compareAge, parseVersion } from './programVersion.ts';
import type { BuildAge } from './programVersion.ts';
import { askedOnce, type RememberedAnswers } from './rememberedAnswers.ts';
import { runProgram } from './run.ts';

type ProgramName = 'ffprobe' | 'ffmpeg';

export interface Program {
  readonly name: ProgramName;
  readonly path: string;
  /** Hex digits that another build does not share: of all that the program says of itself and its libraries. */
  readonly build?: string;
  /** As the program says it: "5.1.9", or a snapshot's name. */
  readonly version: string;
  readonly origin: 'system' | 'bundled';
  /** Major version of libavcodec, the only number that orders release and snapshot builds alike. */
  readonly libavcodecMajor?: number;
}

/** A program that was looked for: what was found, and whether it is the one that will be used. */
export interface Candidate {
  readonly name: ProgramName;
  readonly origin: 'system' | 'bundled';
  readonly path?: string;
  readonly age?: BuildAge;
  readonly chosen: boolean;
  /** What keeps it from being used, or what it cannot do; empty where all is well. */
  readonly lacks: readonly string[];
}

/**
 * Finds ffprobe and ffmpeg: those of the system, unless only the packages' are there or they are newer. What a program
 * says of its version is asked once, where answers are remembered, for as long as its file stays the same.
 */
export async function locatePrograms(
  env: NodeJS.ProcessEnv = process.env,
  remembered?: RememberedAnswers,
): Promise<{ readonly ffprobe: Program; readonly ffmpeg: Program }> {
  const [ffprobe, ffmpeg] = await Promise.all([
    choose('ffprobe', env, remembered),
    choose('ffmpeg', env, remembered),
  ]);
  return { ffprobe, ffmpeg };
}

/** Every candidate, with what it lacks. */
export async function locateAll(env: NodeJS.ProcessEnv = process.env): Promise<readonly Candidate[]> {
  const found = await Promise.all([findAll('ffprobe', env), findAll('ffmpeg', env)]);
  return Promise.all(
    found.flatMap((ofOneName) => {
      const best = newest(ofOneName);
      return ofOneName.map((one) => describe(one, one === best));
    }),
  );
}

interface Found {
  readonly name: ProgramName;
  readonly origin: 'system' | 'bundled';
  readonly path: string | undefined;
  readonly age: BuildAge | undefined;
  readonly build?: string;
}

async function choose(
  name: ProgramName,
  env: NodeJS.ProcessEnv,
  remembered: RememberedAnswers | undefined,
): Promise<Program> {
  const best = newest(await findAll(name, env, remembered));
  if (best !== undefined) return toProgram(best);
  throw new HalfturnError(
    `No usable ${name} was found`,
    `Install ffmpeg, which brings ${name} (for example "apt install ffmpeg" or "brew install ffmpeg"), or install halfturn without leaving out its optional packages.`,
  );
}

async function findAll(
  name: ProgramName,
  env: NodeJS.ProcessEnv,
  remembered?: RememberedAnswers,
): Promise<readonly Found[]> {
  const paths = { system: await searchPath(name, env), bundled: packagedPath(name) };
  return Promise.all(
    (['system', 'bundled'] as const).map(async (origin) => {
      const path = paths[origin];
      return {
        name,
        origin,
        path,
        ...(path === undefined
          ? { age: undefined }
          : ofAnswer(await askedOnce(path, remembered, () => askVersion(name, origin, path)))),
      };
    }),
  );
}

function ofAnswer(answer: string): Pick<Found, 'age' | 'build'> {
  return { age: parseVersion(answer), build: createHash('sha256').update(answer).digest('hex') };
}

function newest(found: readonly Found[]): Found | undefined {
  // The system's stands first: it stays where neither is older.
  return found
    .filter((one) => one.age !== undefined)
    .reduce<Found | undefined>(
      (best, one) => (best && compareAge(best.age!, one.age!) >= 0 ? best : one),
      undefined,
    );
}

function toProgram({ name, origin, path, age, build }: Found): Program {
  return {
    name,
    origin,
    path: path!,
    version: age!.version,
    ...(build === undefined ? {} : { build }),
    ...(age!.libavcodec === undefined ? {} : { libavcodecMajor: age!.libavcodec[0] }),
  };
}

async function describe(found: Found, chosen: boolean): Promise<Candidate> {
  const { name, origin, path, age } = found;
  if (path === undefined) {
    const where = origin === 'system' ? 'not on the search path' : 'the optional package is not installed';
    return { name, origin, chosen, lacks: [where] };
  }
  if (age === undefined) return { name, origin, path, chosen, lacks: ['does not answer to -version'] };
  return { name, origin, path, age, chosen, lacks: await missingFeatures(toProgram(found)) };
}

async function searchPath(name: ProgramName, env: NodeJS.ProcessEnv): Promise<string | undefined> {
  const file = process.platform === 'win32' ? `${name}.exe` : name;
  // A relative entry would let a program that lies in the dump be started.
  for (const folder of (env['PATH'] ?? env['Path'] ?? '')
    .split(delimiter)
    .filter((entry) => isAbsolute(entry))) {
    const path = join(folder, file);
    if (await isExecutable(path)) return path;
  }
  return undefined;
}

function packagedPath(name: ProgramName): string | undefined {
  try {
    const found: unknown = createRequire(import.meta.url)(`@${name}-installer/${name}`);
    return (found as { readonly path?: string }).path;
  } catch {
    return undefined; // Optional: absent, or not made for this system.
  }
}

async function isExecutable(path: string): Promise<boolean> {
  return access(path, constants.X_OK).then(
    () => true,
    () => false,
  );
}

async function askVersion(name: ProgramName, origin: 'system' | 'bundled', path: string): Promise<string> {
  const program: Program = { name, origin, path, version: '' };
  const limits = { wallMs: 10_000, stdoutBytes: 65_536, stderrBytes: 4_096 };
  const answer = await runProgram({ program, args: ['-version'], ...limits }).catch(() => undefined);
  return answer?.exitCode === 0 ? answer.stdout.toString('utf8') : '';
}
