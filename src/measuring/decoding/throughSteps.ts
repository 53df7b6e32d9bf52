import { frameRequest, wallMsThrough } from './decodeRequest.ts';
import type { DecodeSteps } from './decodeRequest.ts';
import { endedEarly } from './endedEarly.ts';
import { decodeFrames } from './frames.ts';
import { isPairStep, stepAt, throughExpression } from './sampling.ts';
import { annotate } from './steppedFrame.ts';
import type { Steps } from './steppedFrame.ts';

/** Decodes all frames from a step on, and gives those that the plan asks for. */
export async function* throughSteps(request: DecodeSteps, firstStep: number): Steps {
  const { plan } = request;
  let lastStep = firstStep - 1;
  let pairIsOpen = false;
  const frames = decodeFrames({
    ...frameRequest(request, wallMsThrough(request)),
    ...(firstStep === 0 ? {} : { startSeconds: firstStep * plan.stepSeconds }),
    select: throughExpression(plan, firstStep),
  });
  const end = yield* annotate(frames, (frame) => {
    const step = stepAt(plan, frame.atSeconds);
    const isSample = step > lastStep;
    const opensPair = isSample && isPairStep(plan, step);
    // Where steps are a frame long the following frame is a sample itself.
    const closesPair = pairIsOpen;
    lastStep = step;
    pairIsOpen = opensPair;
    return { frame, isSample, opensPair, closesPair };
  });
  return endedEarly(request, end, {
    lastSeconds: end.lastDecodedSeconds,
    framesDecoded: firstStep === 0 ? end.framesDecoded : undefined,
  });
}
