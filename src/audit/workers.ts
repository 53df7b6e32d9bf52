import { fileURLToPath } from 'node:url';
import type { Problem } from '../domain/recording.ts';
import { sharedBudget, type Budget } from '../programs/concurrency.ts';
import { forkScript } from '../programs/scripts.ts';
import type { DumpEntry } from '../reading/dumpEntries.ts';
import type { Examined, Task } from './examine.ts';
import type { FromWorker, LastWords, ToWorker } from './worker.ts';

// A damaged file can crash a decoder, or keep it busy for ever. So files are examined in processes of their own, one file
// at a time each: the process that ends names the file, and the next file gets another process.

/** Processes that read and measure files. */
export interface Workers {
  /** Examines a file in a worker that is idle, or else in a new one. */
  readonly examine: (task: Task) => Promise<Examined>;
  /** Ends them with all that they started. */
  readonly end: () => void;
}

interface WorkerLimits {
  /** Of all stills that are decoded at one moment. One of 48 megapixels takes 144 MB, and is decoded alone. */
  readonly stillBytes: number;
  /**
   * How long a still may take, and how much longer for each of its bytes. That a clip takes long is no sign of anything:
   * the programs that read it have limits of their own.
   */
  readonly stillMs: number;
  readonly stillMsPerByte: number;
}

/** The slowest still of the largest kind takes some twenty seconds; the slowest cards give two megabytes a second. */
const usualLimits: WorkerLimits = { stillBytes: 150e6, stillMs: 120_000, stillMsPerByte: 1e-3 };

// Built, also from the tests: Node runs no TypeScript before version 22.18.
const usualScript = fileURLToPath(new URL('../../dist/audit/worker.js', import.meta.url));

/** @param script of a worker, in JavaScript */
export function openWorkers(limits = usualLimits, script = usualScript): Workers {
  const running = new Set<Worker>();
  const idle: Worker[] = [];
  const budget = sharedBudget(limits.stillBytes);
  let isClosed = false;

  const start = (): Worker => {
    if (isClosed) throw closed();
    const worker = startWorker(script, () => running.delete(worker));
    running.add(worker);
    return worker;
  };

  const examineOnce = async (task: Task): Promise<Examined> => {
    const { entry } = task;
    let worker = idle.pop();
    while (worker !== undefined && !running.has(worker)) worker = idle.pop();
    worker ??= start();
    const isStill = entry.kind === 'still';
    const mostMs = isStill ? limits.stillMs + limits.stillMsPerByte * entry.sizeBytes : undefined;
    const examined = await ask(worker, task, { budget, mostMs });
    idle.push(worker);
    return examined;
  };

  const examine = async (task: Task): Promise<Examined> => {
    const { entry, work } = task;
    try {
      return await examineOnce(task);
    } catch (error) {
      if (!(error instanceof WorkerEnded)) throw error;
      if (work.mode === 'off') return { problems: [unread(entry, error)], transient: true };
      // Where measuring ended it, what can be read without still stands.
      const read = task.read ?? (await examine({ entry, work: { ...work, mode: 'off' } }));
      if (read.recording === undefined) return { ...read, transient: true };
      return { ...read, problems: [...read.problems, unmeasured(entry, error)], transient: true };
    }
  };

  return {
    examine,
    end: () => {
      isClosed = true;
      for (const { child, fail } of running) {
        fail(closed());
        if (child.connected) child.disconnect();
      }
    },
  };
}

interface Worker {
  readonly child: ReturnType<typeof forkScript>;
  /** Of whoever has a file examined by it. */
  hear: (message: FromWorker) => void;
  fail: (reason: Error) => void;
}

function closed(): Error {
  return new Error('Workers that were ended were asked for something');
}

class WorkerEnded extends Error {
  readonly isTimeOut: boolean;

  constructor(how: string, isTimeOut = false) {
    super(how);
    this.isTimeOut = isTimeOut;
  }
}

function startWorker(script: string, onEnd: () => void): Worker {
  const child = forked(script);
  const worker: Worker = { child, hear: () => {}, fail: () => {} };
  let lastWords: string | undefined;
  const ended = (how: string): void => {
    onEnd();
    worker.fail(new WorkerEnded(lastWords ?? how));
  };
  child.on('message', (message: FromWorker | LastWords) => {
    if ('lastWords' in message) ({ lastWords } = message);
    else worker.hear(message);
  });
  child.on('error', ({ message }) => ended(message));
  // Unlike "exit", it comes behind the last message.
  child.once('close', (status, signal) => ended(signal ?? `exit status ${status}`));
  return worker;
}

function forked(script: string): Worker['child'] {
  try {
    return forkScript(script);
  } catch (error) {
    // Some failures are thrown here, others told later.
    throw new WorkerEnded((error as Error).message);
  }
}

interface Bounds {
  readonly budget: Budget;
  readonly mostMs: number | undefined;
}

/** Has one file examined, gives its worker room for a still once there is some, and ends it when its time is up. */
async function ask(worker: Worker, task: ToWorker, { budget, mostMs }: Bounds): Promise<Examined> {
  let timer: NodeJS.Timeout | undefined;
  let room: Promise<() => void> | undefined;
  let isDone = false;
  try {
    return await new Promise<Examined>((resolve, reject) => {
      const send = (message: ToWorker): void => {
        if (isDone) return;
        // What it can no longer hear goes unanswered, and that is told when it has ended.
        worker.child.send(message, () => {});
        if (mostMs !== undefined) timer = setTimeout(timeOut, mostMs);
      };
      const timeOut = (): void => {
        reject(new WorkerEnded('time-out', true));
        worker.child.kill('SIGKILL');
      };
      worker.fail = reject;
      worker.hear = (message) => {
        if ('examined' in message) resolve(message.examined);
        else if ('thrown' in message) reject(message.thrown);
        else {
          // Waiting is no fault of the file.
          clearTimeout(timer);
          room = budget(message.needsBytes);
          void room.then(() => send('room'));
        }
      };
      send(task);
    });
  } finally {
    isDone = true;
    clearTimeout(timer);
    void room?.then((giveBack) => giveBack());
  }
}

function unread({ path }: DumpEntry, { isTimeOut, message }: WorkerEnded): Problem {
  if (isTimeOut)
    return {
      path,
      message: 'took too long to read and was given up',
      hint: 'It may be damaged. Copy it from the card again.',
    };
  return {
    path,
    message: `made the part of Halfturn that reads files crash (${message})`,
    hint: 'It may be damaged: copy it from the card again. If that does not help, please report this with the file.',
  };
}

function unmeasured({ path }: DumpEntry, { isTimeOut, message }: WorkerEnded): Problem {
  if (isTimeOut)
    return {
      path,
      message: 'was read, but its picture took too long to decode and was given up',
      hint: 'What was recorded still stands. It may be damaged: copy it from the card again.',
    };
  return {
    path,
    message: `was read, but made the part of Halfturn that measures pictures crash (${message})`,
    hint: 'What was recorded still stands. It may be damaged, or there was too little memory for its picture.',
  };
}
