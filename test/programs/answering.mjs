// A program for ownProcess.test.ts, which does what it is asked to.
import { setTimeout as sleep } from 'node:timers/promises';
import { answerQuestions } from '../../dist/programs/answerQuestions.js';
import { streamProgram } from '../../dist/programs/run.js';

/** Starts a program that lasts longer than any test, and gives back its process. */
async function startSleeping() {
  const program = { name: 'ffmpeg', path: '/bin/sh', version: 'test', origin: 'system' };
  const args = ['-c', 'echo $$; exec sleep 600'];
  const stream = streamProgram({ program, args, wallMs: 600_000, stdoutBytes: 1000, stderrBytes: 1000 });
  const { value } = await stream.next();
  return Number(value.toString());
}

const answers = {
  echo: ({ value }) => value,
  pid: () => process.pid,
  environment: () => process.env,
  start: startSleeping,
  function: () => () => {},
  wait: ({ wait }) => sleep(wait, wait),
  throw: () => {
    throw new RangeError('asked to');
  },
  exit: () => process.exit(7),
  signal: ({ signal }) => {
    process.kill(process.pid, signal);
    return sleep(60_000);
  },
  'fail later': () => {
    setTimeout(() => {
      throw new TypeError('nobody waits for this');
    });
    return sleep(60_000);
  },
  'fill memory': () => {
    const kept = [];
    for (;;) kept.push({ at: kept.length });
  },
};

answerQuestions(async (question) => answers[question.do](question));
