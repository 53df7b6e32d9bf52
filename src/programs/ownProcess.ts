import { fork, type ChildProcess } from 'node:child_process';

/** Another Node with a program of our own, which answers several questions at once. */
export interface OwnProcess {
  /**
   * Started by the first question, and again by the first one after it ended by itself.
   *
   * @throws OwnProcessEnded where it ended before it answered; what the program threw where it threw
   */
  readonly ask: (question: unknown) => Promise<unknown>;
  /** Ends it with all that it started; it answers nothing any more. */
  readonly end: () => void;
}

/** It ended, and nobody knows whether that was because of the question. */
export class OwnProcessEnded extends Error {
  override readonly name = 'OwnProcessEnded';
}

// What is told travels as a structured clone: all that is plain comes as it was.

export interface Question {
  readonly id: number;
  readonly question: unknown;
}

export type Told =
  | { readonly id: number; readonly answer: unknown }
  | { readonly id: number; readonly thrown: Error }
  | { readonly lastWords: string };

interface Waiting {
  readonly resolve: (answer: unknown) => void;
  readonly reject: (reason: Error) => void;
}

interface Running {
  readonly child: ChildProcess;
  readonly waiting: Map<number, Waiting>;
}

/** @param script a program in JavaScript that calls answerQuestions() */
export function ownProcess(script: string): OwnProcess {
  let running: Running | undefined;
  let isEnded = false;
  let lastId = 0;
  return {
    ask: async (question) => {
      if (isEnded) throw noneAnyMore();
      running ??= start(script, (ended) => {
        if (running === ended) running = undefined;
      });
      const { child, waiting } = running;
      const id = ++lastId;
      return new Promise((resolve, reject) => {
        waiting.set(id, { resolve, reject });
        // What it can no longer hear goes unanswered, and that is told when it has ended.
        child.send({ id, question } satisfies Question, () => {});
      });
    },
    end: () => {
      isEnded = true;
      if (running === undefined) return;
      leaveUnanswered(running, noneAnyMore());
      if (running.child.connected) running.child.disconnect();
    },
  };
}

function noneAnyMore(): Error {
  return new Error('A process that was ended was asked for something');
}

function leaveUnanswered({ waiting }: Running, reason: Error): void {
  for (const { reject } of waiting.values()) reject(reason);
  waiting.clear();
}

/**
 * Pictures leave holes of all sizes in the heaps of the C library. With one heap for all threads, which gives back what
 * is free at its end and takes all that is large from the system, glibc keeps few of them. See mallopt(3): it looks
 * only once, before Node runs a line, and other C libraries do not look.
 */
const smallHeaps = {
  MALLOC_ARENA_MAX: '1',
  MALLOC_MMAP_THRESHOLD_: String(64 << 10),
  MALLOC_TRIM_THRESHOLD_: String(128 << 10),
};

function start(script: string, onEnd: (ended: Running) => void): Running {
  const child = forked(script);
  const running: Running = { child, waiting: new Map() };
  let lastWords: string | undefined;
  const ended = (how: string): void => {
    onEnd(running);
    leaveUnanswered(running, new OwnProcessEnded(lastWords ?? how));
  };
  child.on('message', (told: Told) => {
    if ('lastWords' in told) return void (lastWords = told.lastWords);
    const asked = running.waiting.get(told.id);
    running.waiting.delete(told.id);
    if ('thrown' in told) asked?.reject(told.thrown);
    else asked?.resolve(told.answer);
  });
  child.once('error', ({ message }) => ended(message));
  // Unlike "exit", it comes behind the last message.
  child.once('close', (status, signal) => ended(signal ?? `exit status ${status}`));
  return running;
}

function forked(script: string): ChildProcess {
  try {
    return fork(script, {
      env: { ...smallHeaps, ...process.env },
      serialization: 'advanced',
      // What a crash prints would stand among what we print.
      stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
    });
  } catch (error) {
    // Some failures are thrown here, others told later.
    throw new OwnProcessEnded((error as Error).message);
  }
}
