import { createHash } from 'node:crypto';
import { constants } from 'node:fs';
import { access, chmod, stat } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { delimiter, isAbsolute, join } from 'node:path';
import { HalfturnError } from '../domain/halfturnError.ts';
import { median } from '../domain/statistics.ts';
import { runProgram, type Program, type ProgramName } from './run.ts';

// What a build says of itself. Release builds carry a number ("5.1.9-0+deb12u1"); snapshot builds carry only a
// commit count ("N-66595-gc2b38619c0-static"), which says nothing about age: the same maker's counts of 2018 and
// 2023 overlap. Two lines are honest in both: the copyright year, which is renewed in every release branch as long
// as it is maintained, and the version of libavcodec.

/** A build's own words about its age. `year` is that of its copyright line, `libavcodec` is [major, minor]. */
interface BuildAge {
  readonly version: string;
  readonly year?: number;
  readonly libavcodec?: readonly [number, number];
}

/** A program that was looked for: what is there, and whether it is the one that will be used. */
export interface Candidate extends Omit<ProgramPlace, 'build' | 'startCpuMs'> {
  readonly chosen: boolean;
  /** Wall time of a start, here and now. */
  readonly startMs?: number;
  /** What keeps it from being used, or what it cannot do; empty where all is well. */
  readonly lacks: readonly string[];
}

/** Where answers of programs are kept, by a key that names everything they rest on. */
interface AnswerCache {
  readonly read: (key: string) => Promise<unknown>;
  readonly write: (key: string, value: unknown) => Promise<void>;
}

/**
 * Finds ffprobe and ffmpeg, those of the system or those of the packages: the newer, or of two that are new enough the
 * one that starts much faster. With a cache, a program is asked for its version once for as long as its file stays the
 * same.
 */
export async function locatePrograms(
  env: NodeJS.ProcessEnv = process.env,
  cache?: AnswerCache,
): Promise<{ readonly ffprobe: Program; readonly ffmpeg: Program }> {
  const [ffprobe, ffmpeg] = await Promise.all([choose('ffprobe', env, cache), choose('ffmpeg', env, cache)]);
  return { ffprobe, ffmpeg };
}

/** Every candidate, with what it lacks. */
export async function locateAll(env: NodeJS.ProcessEnv = process.env): Promise<readonly Candidate[]> {
  const [ffprobes, ffmpegs] = await Promise.all([lookFor('ffprobe', env), lookFor('ffmpeg', env)]);
  const best = [preferred(ffprobes), preferred(ffmpegs)];
  const candidates = await Promise.all(
    [...ffprobes, ...ffmpegs].map((place) => describe(place, best.includes(place as UsablePlace))),
  );
  const timed: Candidate[] = [];
  // One after the other: at once they would slow each other.
  for (const candidate of candidates) timed.push({ ...candidate, startMs: await usualStartMs(candidate) });
  return timed;
}

async function choose(name: ProgramName, env: NodeJS.ProcessEnv, cache?: AnswerCache): Promise<Program> {
  const best = preferred(await lookFor(name, env, cache));
  if (best !== undefined) return toProgram(best);
  throw new HalfturnError(
    `No usable ${name} was found`,
    `Install ffmpeg, which brings ${name} (for example "apt install ffmpeg" or "brew install ffmpeg"), or install halfturn without leaving out its optional packages.`,
  );
}

/** A place where a program was looked for, and what stands there. */
interface ProgramPlace extends Pick<Program, 'name' | 'origin' | 'build'> {
  /** Undefined where there is none. */
  readonly path?: string;
  /** Undefined where what is there does not say its version. */
  readonly age?: BuildAge;
  /** Processor time of a start; undefined where the system does not tell. */
  readonly startCpuMs?: number;
}

/** Looks on the search path and among the optional packages, the system's first; asks each for its version. */
async function lookFor(
  name: ProgramName,
  env: NodeJS.ProcessEnv,
  cache?: AnswerCache,
): Promise<readonly ProgramPlace[]> {
  const paths = { system: await searchPath(name, env), bundled: await packagedPath(name) };
  return Promise.all(
    (['system', 'bundled'] as const).map(async (origin) => {
      const path = paths[origin];
      if (path === undefined) return { name, origin, path };
      const { text, startCpuMs } = await versionAnswer({ name, origin, path, version: '' }, cache);
      const build = createHash('sha256').update(text).digest('hex');
      return { name, origin, path, age: parseVersion(text), build, startCpuMs };
    }),
  );
}

async function searchPath(name: ProgramName, env: NodeJS.ProcessEnv): Promise<string | undefined> {
  const file = process.platform === 'win32' ? `${name}.exe` : name;
  // A relative entry would let a program that lies in the dump be started.
  for (const folder of (env['PATH'] ?? env['Path'] ?? '').split(delimiter).filter(isAbsolute)) {
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
    const installer: unknown = createRequire(import.meta.url)(`@${name}-installer/${name}`);
    return (installer as { readonly path?: string }).path;
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

/** What a program says to `-version`, empty where it does not answer, and what starting it for that took. */
interface VersionAnswer extends Pick<ProgramPlace, 'startCpuMs'> {
  readonly text: string;
}

async function versionAnswer(program: Program, cache: AnswerCache | undefined): Promise<VersionAnswer> {
  const key = cache && (await versionKey(program.path));
  const cached = key === undefined ? undefined : await cache?.read(key);
  if (cached !== undefined) return cached as VersionAnswer;
  const answer = await askVersion(program);
  if (key !== undefined && answer.text !== '') await cache?.write(key, answer);
  return answer;
}

const versionLimits = { wallMs: 10_000, stdoutBytes: 65_536, stderrBytes: 4_096 };

// The shell's own account (POSIX `times`): wall time here would be that of whatever else goes on in the meantime.
const timedVersion = '"$0" -version; status=$?; times >&2; exit $status';

async function askVersion(program: Program): Promise<VersionAnswer> {
  const asked =
    process.platform === 'win32'
      ? { program, args: ['-version'] }
      : { program: { ...program, path: '/bin/sh' }, args: ['-c', timedVersion, program.path] };
  const run = await runProgram({ ...asked, ...versionLimits }).catch(() => undefined);
  if (run?.exitCode !== 0) return { text: '' };
  // Its last line is of the children: "0m0.031s 0m0.027s", in the program and in the system.
  const spent = /(\d+)m([\d.]+)s (\d+)m([\d.]+)s\s*$/.exec(run.stderr)?.slice(1).map(Number);
  const startCpuMs = spent && (60 * (spent[0]! + spent[2]!) + spent[1]! + spent[3]!) * 1000;
  return { text: run.stdout.toString('utf8'), startCpuMs };
}

async function versionKey(path: string): Promise<string | undefined> {
  const stats = await stat(path, { bigint: true }).catch(() => undefined);
  if (stats === undefined) return undefined;
  const { dev, ino, size, mtimeNs, ctimeNs } = stats;
  return ['-version and times', path, dev, ino, size, mtimeNs, ctimeNs].join('\n');
}

/** Reads the answer to `-version`; undefined where it is not that of ffmpeg or ffprobe. */
export function parseVersion(answer: string): BuildAge | undefined {
  const version = /^ff(?:mpeg|probe) version (\S+)/.exec(answer)?.[1];
  if (version === undefined) return undefined;
  const year = /Copyright \(c\) (?:\d{4}-)?(\d{4})/.exec(answer)?.[1];
  const codec = /^libavcodec\s+\d+\.\s*\d+\.\s*\d+ \/ +(\d+)\. *(\d+)/m.exec(answer);
  return {
    version: /^\d+(?:\.\d+)+/.exec(version)?.[0] ?? version,
    year: year === undefined ? undefined : Number(year),
    libavcodec: codec === null ? undefined : ([Number(codec[1]), Number(codec[2])] as const),
  };
}

/**
 * Negative where `a` is the older build. The year decides, because a maintained old branch has repairs that an
 * abandoned newer snapshot lacks; within a year, the codec library's version does.
 */
export function compareAge(a: BuildAge, b: BuildAge): number {
  if (a.year !== undefined && b.year !== undefined && a.year !== b.year) return a.year - b.year;
  if (a.libavcodec === undefined || b.libavcodec === undefined) return 0;
  return a.libavcodec[0] - b.libavcodec[0] || a.libavcodec[1] - b.libavcodec[1];
}

type UsablePlace = ProgramPlace & { readonly path: string; readonly age: BuildAge };

function isUsable(place: ProgramPlace): place is UsablePlace {
  return place.path !== undefined && place.age !== undefined;
}

function newest(places: readonly ProgramPlace[]): UsablePlace | undefined {
  // The system's stands first: it stays where neither is older.
  return places
    .filter(isUsable)
    .reduce<UsablePlace | undefined>(
      (best, place) => (best && compareAge(best.age, place.age) >= 0 ? best : place),
      undefined,
    );
}

// Repairs for damaged and hostile files come with the year, whatever the version: a snapshot of 2023 also lost the metadata
// of a stream that a maintained 5.1 reads.
const newEnoughYears = 1;

// A build with hundreds of shared libraries takes 60 to 200 ms for each start, a static one 1, and every clip takes some
// starts. Shells count in steps of 10 ms, so less than that is not told apart.
const fasterRatio = 2;
const leastCountedMs = 10;

/** The newest, unless another one that is new enough starts much faster. */
function preferred(places: readonly ProgramPlace[]): UsablePlace | undefined {
  const best = newest(places);
  const year = best?.age.year;
  if (best === undefined || year === undefined) return best;
  const isNewEnough = ({ age }: UsablePlace): boolean => (age.year ?? 0) >= year - newEnoughYears;
  return (
    places
      .filter(isUsable)
      .filter(isNewEnough)
      .find((place) => startsFaster(place, best)) ?? best
  );
}

function startsFaster({ startCpuMs: own }: UsablePlace, { startCpuMs: other }: UsablePlace): boolean {
  if (own === undefined || other === undefined) return false;
  return Math.max(own, leastCountedMs) * fasterRatio <= other;
}

function toProgram({ name, origin, path, age, build }: UsablePlace): Program {
  return { name, origin, path, version: age.version, build, libavcodecMajor: age.libavcodec?.[0] };
}

async function describe(place: ProgramPlace, chosen: boolean): Promise<Candidate> {
  const { name, origin, path } = place;
  if (path === undefined) {
    const where = origin === 'system' ? 'not on the search path' : 'the optional package is not installed';
    return { name, origin, chosen, lacks: [where] };
  }
  if (!isUsable(place)) return { name, origin, path, chosen, lacks: ['does not answer to -version'] };
  return { name, origin, path, age: place.age, chosen, lacks: await missingFeatures(toProgram(place)) };
}

const timedStarts = 5;

async function usualStartMs({ name, origin, path, age }: Candidate): Promise<number | undefined> {
  if (path === undefined || age === undefined) return undefined;
  const program = { name, origin, path, version: age.version };
  const walls: number[] = [];
  while (walls.length < timedStarts) {
    const beganMs = performance.now();
    await runProgram({ program, args: ['-version'], ...versionLimits });
    walls.push(performance.now() - beganMs);
  }
  return median(walls);
}

// What Halfturn asks of each program. A build without one of these still works for files that do not need it.
const options: Readonly<Record<ProgramName, readonly string[]>> = {
  ffprobe: '-show_data -max_streams -max_pixels -format_whitelist -protocol_whitelist -probesize'.split(' '),
  ffmpeg: ['-protocol_whitelist', '-max_pixels', '-autorotate'],
};
const decoders = ['h264', 'hevc', 'prores', 'mjpeg', 'vp9', 'av1'];
const demuxers = ['mov', 'matroska', 'mpegts', 'mxf', 'avi'];

/** What a build cannot do, in words for the person; empty where nothing is missing. */
async function missingFeatures(program: Program): Promise<readonly string[]> {
  const limits = { wallMs: 20_000, stdoutBytes: 8 << 20, stderrBytes: 65_536 };
  const ask = async (...args: readonly string[]): Promise<string> =>
    (await runProgram({ program, args: ['-hide_banner', ...args], ...limits })).stdout.toString('utf8');
  const questions = [ask('-h', 'full'), ask('-decoders'), ask('-demuxers')] as const;
  const [help, decoderList, demuxerList] = await Promise.all(questions);
  const words = new Set(help.split(/\s+/));
  return [
    ...options[program.name].filter((option) => !words.has(option)).map((option) => `the option ${option}`),
    // The AV1 decoders go by the names of their makers' libraries.
    ...decoders
      .filter((name) => !new RegExp(`^ V\\S+ \\S*${name}`, 'm').test(decoderList))
      .map((name) => `a decoder for ${name}`),
    ...demuxers
      .filter((name) => !new RegExp(`^ D\\S* +\\S*${name}`, 'm').test(demuxerList))
      .map((name) => `a reader for ${name} files`),
  ];
}
