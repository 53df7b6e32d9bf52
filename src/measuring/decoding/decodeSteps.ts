import { frameRequest, rowStepFor, seekWallMs, type DecodeSteps } from './decodeRequest.ts';
import type { Frame } from './frame.ts';
import { decodeFrames, type FramesEnd } from './frames.ts';
import { keySteps } from './keySteps.ts';
import type { Steps } from './steppedFrame.ts';
import { throughSteps } from './throughSteps.ts';

/** Decodes one frame in each step of the plan, in order of time, and the following one where motion is measured. */
export function decodeSteps(request: DecodeSteps): Steps {
  switch (request.plan.reading) {
    case 'keys':
      return keySteps(request);
    case 'through':
      return throughSteps(request, 0);
  }
}

/** One frame at or before a place, and those that follow it up to `maxFrames`. For looking again where it matters. */
export async function* decodeAt(
  request: Omit<DecodeSteps, 'plan'>,
  place: { readonly startSeconds: number; readonly maxFrames: number; readonly select?: string },
): AsyncGenerator<Frame, FramesEnd> {
  const frames = { ...frameRequest(request, seekWallMs), ...place, rowStep: rowStepFor(request) };
  const end = yield* decodeFrames({ ...frames, unprobed: true });
  return end.framesDecoded > 0 ? end : yield* decodeFrames(frames);
}
