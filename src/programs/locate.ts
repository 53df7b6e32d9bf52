import { HalfturnError } from '../domain/halfturnError.ts';
import { missingFeatures } from './features.ts';
import { foundPrograms, type FoundProgram } from './foundPrograms.ts';
import type { Program, ProgramName } from './program.ts';
import { compareAge, type BuildAge } from './programVersion.ts';
import type { RememberedAnswers } from './rememberedAnswers.ts';

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
  const found = await Promise.all([foundPrograms('ffprobe', env), foundPrograms('ffmpeg', env)]);
  return Promise.all(
    found.flatMap((ofOneName) => {
      const best = newest(ofOneName);
      return ofOneName.map((one) => describe(one, one === best));
    }),
  );
}

async function choose(
  name: ProgramName,
  env: NodeJS.ProcessEnv,
  remembered: RememberedAnswers | undefined,
): Promise<Program> {
  const best = newest(await foundPrograms(name, env, remembered));
  if (best !== undefined) return toProgram(best);
  throw new HalfturnError(
    `No usable ${name} was found`,
    `Install ffmpeg, which brings ${name} (for example "apt install ffmpeg" or "brew install ffmpeg"), or install halfturn without leaving out its optional packages.`,
  );
}

type UsableProgram = FoundProgram & { readonly path: string; readonly age: BuildAge };

function isUsable(found: FoundProgram): found is UsableProgram {
  return found.path !== undefined && found.age !== undefined;
}

function newest(found: readonly FoundProgram[]): UsableProgram | undefined {
  // The system's stands first: it stays where neither is older.
  return found
    .filter(isUsable)
    .reduce<UsableProgram | undefined>(
      (best, one) => (best && compareAge(best.age, one.age) >= 0 ? best : one),
      undefined,
    );
}

function toProgram({ name, origin, path, age, build }: UsableProgram): Program {
  return {
    name,
    origin,
    path,
    version: age.version,
    build,
    libavcodecMajor: age.libavcodec === undefined ? undefined : age.libavcodec[0],
  };
}

async function describe(found: FoundProgram, chosen: boolean): Promise<Candidate> {
  const { name, origin, path } = found;
  if (path === undefined) {
    const where = origin === 'system' ? 'not on the search path' : 'the optional package is not installed';
    return { name, origin, chosen, lacks: [where] };
  }
  if (!isUsable(found)) return { name, origin, path, chosen, lacks: ['does not answer to -version'] };
  return { name, origin, path, age: found.age, chosen, lacks: await missingFeatures(toProgram(found)) };
}
