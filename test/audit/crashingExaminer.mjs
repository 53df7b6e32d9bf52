// The program of examinerAside.ts, in which some files end the process, as damaged ones crash a decoder.
import { appendFileSync } from 'node:fs';
import { setTimeout as sleep } from 'node:timers/promises';
import { examine } from '../../dist/audit/examine.js';
import { answerQuestions } from '../../dist/programs/answerQuestions.js';
import { noteChance, watchForChance } from '../../dist/programs/chance.js';

let asked = 0;

const isFatal = {
  CRASHREAD: () => true,
  CRASHMEASURE: ({ work: { mode } }) => mode !== 'off',
  CRASHBESIDE: () => asked > 1,
};

async function crashOn(question) {
  asked += 1;
  const { path } = question.entry;
  if (path.startsWith('CHANCE')) noteChance();
  const [name] = path.split('.');
  if (!(name in isFatal)) return;
  // Until others are under way.
  await sleep(200);
  if (!isFatal[name](question)) return;
  appendFileSync(process.env.CRASHES_LOG, `${name} ${question.work.mode}\n`);
  process.kill(process.pid, 'SIGSEGV');
  await sleep(60_000);
}

answerQuestions((question) =>
  watchForChance(async () => {
    await crashOn(question);
    return examine(question.entry, question.work);
  }),
);
