import { createHash } from 'node:crypto';
import { constants } from 'node:fs';
import { access, chmod } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { delimiter, isAbsolute, join } from 'node:path';
import type { Program, ProgramName } from './program.ts';
import { parseVersion, type BuildAge } from './programVersion.ts';
import { askedOnce, type RememberedAnswers } from './rememberedAnswers.ts';
import { runProgram } from './run.ts';

/** A place where a program was looked for, and what stands there. */
export interface FoundProgram {
  readonly name: ProgramName;
  readonly origin: 'system' | 'bundled';
  /** Undefined where there is none. */
  readonly path: string | undefined;
  /** Undefined where what is there does not say its version. */
  readonly age: BuildAge | undefined;
  readonly build?: string;
}

/** Looks on the search path and among the optional packages, the system's first; asks each for its version. */
export async function foundPrograms(
  name: ProgramName,
  env: NodeJS.ProcessEnv,
  remembered?: RememberedAnswers,
): Promise<readonly FoundProgram[]> {
  const paths = { system: await searchPath(name, env), bundled: await packagedPath(name) };
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

function ofAnswer(answer: string): Pick<FoundProgram, 'age' | 'build'> {
  return { age: parseVersion(answer), build: createHash('sha256').update(answer).digest('hex') };
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

async function packagedPath(name: ProgramName): Promise<string | undefined> {
  const path = packaged(name);
  // The package makes it executable when it is installed, with a script that npm may have been told to leave out.
  if (path !== undefined && !(await isExecutable(path))) await chmod(path, 0o755).catch(() => undefined);
  return path;
}

function packaged(name: ProgramName): string | undefined {
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
