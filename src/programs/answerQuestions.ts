import type { Question, Told } from './ownProcess.ts';

/** Makes the program that calls this the other side of ownProcess(). It lives until whoever asks is gone. */
export function answerQuestions(answer: (question: unknown) => Promise<unknown>): void {
  const tell = (told: Told, onTold = (): void => {}): void => void process.send?.(told, onTold);
  process.on('message', ({ id, question }: Question) => {
    answer(question).then(
      (answered) => tell({ id, answer: answered }),
      (thrown: Error) => tell({ id, thrown }),
    );
  });
  // Also where that one was killed. Programs that were started here end with "exit".
  process.on('disconnect', () => process.exit());
  // A terminal sends these to everyone at once, but it is not for us to end before whoever asks does.
  for (const signal of ['SIGINT', 'SIGHUP'] as const) process.on(signal, () => {});
  process.on('SIGTERM', () => process.exit(143));
  process.on('uncaughtException', (error) => {
    tell({ lastWords: String(error) }, () => process.exit(1));
  });
}
