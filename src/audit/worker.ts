import { keepHeapSmall } from '../programs/scripts.ts';
import { examine, type Examined, type Task } from './examine.ts';

// Run by workers.ts as a program of its own, which examines one file after another.

/** What a worker is told. */
export type ToWorker = Task | 'room';

/** What a worker tells. It asks for room and waits for it. */
export type FromWorker =
  { readonly needsBytes: number } | { readonly examined: Examined } | { readonly thrown: Error };

/** What it tells of an error that ends it. */
export interface LastWords {
  readonly lastWords: string;
}

keepHeapSmall();

const tell = (message: FromWorker | LastWords, onTold = (): void => {}): void =>
  void process.send?.(message, onTold);

let roomGiven = (): void => {};

const room = (needsBytes: number): Promise<void> =>
  new Promise((resolve) => {
    roomGiven = resolve;
    tell({ needsBytes });
  });

process.on('message', (message: ToWorker) => {
  if (message === 'room') return roomGiven();
  examine(message, room).then(
    (examined) => tell({ examined }),
    (thrown: Error) => tell({ thrown }),
  );
});

// Also where whoever started this was killed. Programs that were started here end with "exit", and then this does at once:
// else Node would wait for a decoder that hangs.
process.on('disconnect', () => {
  process.once('exit', () => process.kill(process.pid, 'SIGKILL'));
  process.exit();
});
// A terminal sends these to everyone at once, but it is not for a worker to end before whoever started it.
for (const signal of ['SIGINT', 'SIGHUP'] as const) process.on(signal, () => {});
process.on('SIGTERM', () => process.exit(143));
process.on('uncaughtException', (error) => {
  tell({ lastWords: String(error) }, () => process.exit(1));
});
