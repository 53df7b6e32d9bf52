import { once } from 'node:events';
import { Worker } from 'node:worker_threads';
import { SCENE_HEIGHT, SCENE_WIDTH } from './land.ts';
import type { Outcome, Reply, Task, WorkerSetup } from './task.ts';

/** Some threads that share one painted scene and take tasks as they become free. */
export interface Crew {
  readonly run: (task: Task) => Promise<Outcome>;
  readonly end: () => Promise<void>;
}

export async function hireCrew(size: number, ffmpeg: string): Promise<Crew> {
  const light = new SharedArrayBuffer(SCENE_WIDTH * SCENE_HEIGHT * 3 * Float32Array.BYTES_PER_ELEMENT);
  const workers = Array.from({ length: size }, () => startWorker({ ffmpeg, light }));
  const bounds = Array.from({ length: size + 1 }, (_, index) => Math.round((SCENE_HEIGHT * index) / size));
  await Promise.all(
    workers.map((worker, index) =>
      ask(worker, { paint: { from: bounds[index] ?? 0, to: bounds[index + 1] ?? 0 } }),
    ),
  );
  const idle = [...workers];
  const waiting: ((worker: Worker) => void)[] = [];
  const release = (worker: Worker): void => {
    const next = waiting.shift();
    if (next === undefined) idle.push(worker);
    else next(worker);
  };
  return {
    run: async (task) => {
      const worker = idle.pop() ?? (await new Promise<Worker>((resolve) => waiting.push(resolve)));
      try {
        return await ask(worker, task);
      } finally {
        release(worker);
      }
    },
    end: async () => {
      await Promise.all(workers.map((worker) => worker.terminate()));
    },
  };
}

/** Node 20 does not pass tsx on to worker threads, so the thread registers it before it loads the TypeScript. */
function startWorker(setup: WorkerSetup): Worker {
  const script = new URL('./worker.ts', import.meta.url).href;
  const start = `import('tsx/esm/api').then(({ register }) => { register(); return import(${JSON.stringify(script)}); });`;
  return new Worker(start, { eval: true, workerData: setup });
}

async function ask(worker: Worker, task: Task): Promise<Outcome> {
  worker.postMessage(task);
  const [reply] = (await once(worker, 'message')) as [Reply];
  if ('failure' in reply) throw new Error(reply.failure);
  return reply.outcome;
}
