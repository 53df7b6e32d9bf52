import { frameRequest, rowStepFor, wallMsThrough } from './decodeRequest.ts';
import type { DecodeSteps } from './decodeRequest.ts';
import { endedEarly } from './endedEarly.ts';
import { decodeFrames } from './frames.ts';
import { keysFit } from './sampling.ts';
import { seekPairs, seekSteps } from './seekSteps.ts';
import type { Steps } from './steppedFrame.ts';

/** From so many key frames on it is known how far apart they are. */
const keysToJudgeBy = 2;

// One process, and of MP4 and MOV only the key frames are read at all: half the cost of jumping to each.

/** Decodes the key frames, and then jumps to the pairs; jumps to all that is left where key frames do not fit. */
export async function* keySteps(request: DecodeSteps): Steps {
  const frames = decodeFrames({
    ...frameRequest(request, wallMsThrough(request)),
    keyFramesOnly: true,
    unprobed: true,
    rowStep: rowStepFor(request),
  });
  let count = 0;
  let lastSeconds = 0;
  try {
    for (;;) {
      const next = await frames.next();
      if (next.done === true) {
        if (count < keysToJudgeBy) return yield* seekSteps(request);
        yield* seekPairs(request, lastSeconds);
        return await endedEarly(request, next.value, {
          lastSeconds,
          gapSeconds: (2 * lastSeconds) / (count - 1),
        });
      }
      lastSeconds = next.value.atSeconds;
      count++;
      yield { frame: next.value, isSample: true, opensPair: false, closesPair: false };
      if (count >= keysToJudgeBy && !keysFit(request.plan, lastSeconds / (count - 1))) break;
    }
  } finally {
    await frames.return(undefined as never);
  }
  return yield* seekSteps(request, lastSeconds);
}
