import { parentPort, workerData } from 'node:worker_threads';
import { encodeClip } from './encode.ts';
import { SCENE_HEIGHT, SCENE_WIDTH, type Scene } from './land.ts';
import { clipFrames, type Rendered } from './renderClip.ts';
import { renderStill, writeStill } from './renderStill.ts';
import { paintScene } from './scene.ts';
import type { Outcome, Reply, Task, WorkerSetup } from './task.ts';

const setup = workerData as WorkerSetup;
const scene: Scene = { width: SCENE_WIDTH, height: SCENE_HEIGHT, light: new Float32Array(setup.light) };

parentPort?.on('message', (task: Task) => void answer(task));

async function answer(task: Task): Promise<void> {
  const reply: Reply = await carryOut(task).then(
    (outcome) => ({ outcome }),
    (error: unknown) => ({ failure: String(error) }),
  );
  parentPort?.postMessage(reply);
}

async function carryOut(task: Task): Promise<Outcome> {
  if ('paint' in task) {
    paintScene(scene, task.paint);
    return undefined;
  }
  if ('still' in task) {
    const { bytes, ...counted } = renderStill(task.still, scene);
    await writeStill(task.still, bytes, task.output);
    return counted;
  }
  const rendered: Rendered = { clippedFractions: [], meanLights: [] };
  const { output, textTrack } = task;
  await encodeClip(
    { ffmpeg: setup.ffmpeg, plan: task.clip, output, textTrack },
    clipFrames(task.clip, scene, rendered),
  );
  return rendered;
}
