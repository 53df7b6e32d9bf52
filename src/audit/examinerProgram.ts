import { answerQuestions } from '../programs/answerQuestions.ts';
import { watchForChance } from '../programs/chance.ts';
import { keepHeapSmall } from '../programs/smallHeap.ts';
import { examine } from './examine.ts';
import type { ExaminedAside, ToExamine } from './examinerAside.ts';

// Run by examinerAside.ts as a program of its own.
keepHeapSmall();
answerQuestions(async (question): Promise<ExaminedAside> => {
  const { entry, work } = question as ToExamine;
  return watchForChance(() => examine(entry, work));
});
