import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { HalfturnError } from '../domain/halfturnError.ts';
import type { OpenMedia } from './openMedia.ts';

// A child that reads a stranger's file can hang, crash, or answer without end, and SIGTERM does not end one that
// is blocked while it opens a file. So each child is the leader of its own process group and is ended by SIGKILL.

interface ProgramRun {
  readonly program: Program;
  readonly args: readonly string[];
  /** Given to the child as descriptor 3; name it in `args` with mediaArgument(). */
  readonly media?: OpenMedia;
  readonly wallMs: number;
  /** More than this on standard output ends the child. */
  readonly stdoutBytes: number;
  /** More than this on standard error is read and thrown away. */
  readonly stderrBytes: number;
  /** Hears standard error as it comes, without limit, and undefined once at its end. */
  readonly onStderr?: (chunk: Buffer | undefined) => void;
  /** Hears what the child writes to descriptor 4, as it comes and without limit. */
  readonly onSecondOutput?: (chunk: Buffer) => void;
  /** What the child reads from its standard input, asked for as fast as it does. */
  readonly input?: AsyncIterable<Buffer>;
  /** Limit of the child's address space, where the system has one. Below 600,000 some builds cannot start. */
  readonly memoryKiB?: number;
  readonly signal?: AbortSignal;
}

/** Room for a clip of 16K (15,360 × 8640); beyond it a crafted header of a few bytes costs gigabytes. */
export const mostPicturePixels = 140_000_000;

type Ended = 'exit' | 'time-out' | 'output-limit' | 'crash';

export interface ProgramEnd {
  readonly stderr: string;
  readonly exitCode: number | null;
  readonly ended: Ended;
}

/** Runs a program to its end and collects what it says, within the limits given. */
export async function runProgram(run: ProgramRun): Promise<ProgramEnd & { readonly stdout: Buffer }> {
  const chunks: Buffer[] = [];
  const stream = streamProgram(run);
  for (;;) {
    const next = await stream.next();
    if (next.done === true) return { stdout: Buffer.concat(chunks), ...next.value };
    chunks.push(next.value);
  }
}

/**
 * Runs a program and yields its output as it comes. The child waits while the consumer does: nothing is collected.
 * A consumer that stops early ends the child.
 */
export async function* streamProgram(run: ProgramRun): AsyncGenerator<Buffer, ProgramEnd> {
  run.signal?.throwIfAborted();
  const child = start(run);
  const kill = (): void => killGroup(child);
  // A child that wants no more of it, or an input that fails, ends the feeding; what came out until then stands.
  const fed = run.input && pipeline(Readable.from(run.input, oneAhead), child.stdin!).catch(() => {});
  const closed = once(child, 'close') as Promise<[number | null, NodeJS.Signals | null]>;
  closed.catch(() => {}); // awaited below; without this an early failure would count as unhandled
  const stderr = collectHead(child.stderr!, run.stderrBytes);
  const { onStderr } = run;
  if (onStderr !== undefined) child.stderr!.on('data', onStderr).once('close', () => onStderr(undefined));
  if (run.onSecondOutput !== undefined) (child.stdio[4] as Readable).on('data', run.onSecondOutput);
  let stopped: 'time-out' | 'output-limit' | undefined;
  const timer = setTimeout(() => {
    stopped ??= 'time-out';
    kill();
  }, run.wallMs);
  run.signal?.addEventListener('abort', kill, { once: true });
  try {
    let left = run.stdoutBytes;
    for await (const chunk of child.stdout! as AsyncIterable<Buffer>) {
      if (chunk.length > left) {
        stopped ??= 'output-limit';
        if (left > 0) yield chunk.subarray(0, left);
        break;
      }
      left -= chunk.length;
      yield chunk;
    }
    if (stopped !== undefined) kill();
    const [exitCode] = await closed.catch((error: NodeJS.ErrnoException) => {
      throw notStarted(run.program, error);
    });
    await fed;
    run.signal?.throwIfAborted();
    const ended = stopped ?? (exitCode === null ? 'crash' : 'exit');
    const says = stderr();
    const lacksMemory = /out of memory|cannot allocate/i.test(says);
    if (run.media !== undefined && (ended === 'time-out' || ended === 'crash' || lacksMemory))
      run.media.transient = true;
    return { stderr: says, exitCode, ended };
  } finally {
    clearTimeout(timer);
    run.signal?.removeEventListener('abort', kill);
    kill();
  }
}

/** How a child program is to name the file that it was given. */
export function mediaArgument(media: OpenMedia): string {
  // The child sees a descriptor and no name, so "%d", "-x", "http:" and bytes that are not UTF-8 mean nothing to it.
  if (process.platform === 'linux') return 'file:/proc/self/fd/3';
  if (typeof media.path === 'string') return `file:${media.path}`;
  throw new HalfturnError(
    'A file whose name is not valid text cannot be handed to another program on this system',
    'Rename it and try again.',
  );
}

const running = new Set<ChildProcess>();
// Detached children outlive us unless they are told.
process.on('exit', () => running.forEach(killGroup));

/** Of the input one piece is asked for ahead of what the child reads. */
const oneAhead = { objectMode: false, highWaterMark: 1 } as const;

type Started = Pick<ProgramRun, 'program' | 'args' | 'onSecondOutput' | 'media' | 'memoryKiB' | 'input'>;

function start(run: Started): ChildProcess {
  const [command, args] = withMemoryLimit(run);
  const child = spawn(command, args, {
    detached: process.platform !== 'win32',
    windowsHide: true,
    env: childEnvironment(run.program),
    stdio: [
      run.input === undefined ? 'ignore' : 'pipe',
      'pipe',
      'pipe',
      run.media === undefined ? 'ignore' : run.media.fd,
      ...(run.onSecondOutput === undefined ? [] : (['pipe'] as const)),
    ],
  });
  running.add(child);
  child.once('close', () => running.delete(child));
  child.once('error', () => running.delete(child));
  // Against their type there are no streams where the system has no descriptor left for them.
  if ((child.stdout as Readable | null | undefined) == null)
    throw notStarted(run.program, new Error('too many files are open'));
  return child;
}

function withMemoryLimit({ program, args, memoryKiB }: Started): [string, string[]] {
  // macOS accepts `ulimit -v` and ignores it; there the wall time is the only limit.
  if (memoryKiB === undefined || process.platform !== 'linux') return [program.path, [...args]];
  const script = 'ulimit -v "$1" 2>/dev/null; shift; exec "$@"';
  return ['/bin/sh', ['-c', script, 'sh', String(memoryKiB), program.path, ...args]];
}

/**
 * Packets of some megabytes come and go; left to itself, glibc hands that memory back and has each page of it made anew,
 * at up to four times the cost of reading a file. See mallopt(3); other C libraries do not read these.
 */
const keptMemory = {
  MALLOC_MMAP_THRESHOLD_: String(32 << 20),
  MALLOC_TOP_PAD_: String(32 << 20),
  MALLOC_TRIM_THRESHOLD_: String(256 << 20),
};

function childEnvironment(program: Program): NodeJS.ProcessEnv {
  const { PATH, SystemRoot } = process.env;
  return {
    PATH,
    SystemRoot,
    LC_ALL: 'C.UTF-8',
    ...keptMemory,
    // The static builds crash when they load the system's character set converters.
    ...(program.origin === 'bundled' ? { GCONV_PATH: '/nonexistent' } : {}),
  };
}

function collectHead(stream: Readable, limitBytes: number): () => string {
  const chunks: Buffer[] = [];
  let left = limitBytes;
  stream.on('data', (chunk: Buffer) => {
    if (left > 0) chunks.push(chunk.subarray(0, left));
    left -= chunk.length;
  });
  return () => Buffer.concat(chunks).toString('utf8');
}

function killGroup(child: ChildProcess): void {
  if (child.pid === undefined || !running.has(child)) return;
  try {
    if (process.platform === 'win32') child.kill('SIGKILL');
    else process.kill(-child.pid, 'SIGKILL');
  } catch {
    // It ended between the question and the answer.
  }
}

function notStarted(program: Program, error: NodeJS.ErrnoException): HalfturnError {
  return new HalfturnError(
    `${program.name} could not be started from ${program.path} (${error.code ?? error.message})`,
    'Run "halfturn doctor" to see what is wrong with it.',
    undefined,
    true,
  );
}

export type ProgramName = 'ffprobe' | 'ffmpeg';

/** A build of ffprobe or ffmpeg that can be started. */
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
