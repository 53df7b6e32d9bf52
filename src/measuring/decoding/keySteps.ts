import { canCopyPackets } from '../../programs/decodeArguments.ts';
import { frameRequest, rowStepFor, wallMsThrough, type DecodeSteps } from './decodeRequest.ts';
import { endedEarly } from './endedEarly.ts';
import { decodeFrames } from './frames.ts';
import { keysFit, laterKeysExpression, stepAt } from './sampling.ts';
import { seekPairs, seekSteps } from './seekSteps.ts';
import type { Steps } from './steppedFrame.ts';

/** From so many key frames on it is known how far apart they are. */
const keysToJudgeBy = 2;

// One process decodes them all, and of MP4 and MOV only the key frames are read at all. A key frame costs less than half
// of a jump: that starts ffmpeg, and decodes pictures that come earlier in the file than on the screen.

/** Decodes key frames, and then jumps to the pairs; jumps to all that is left where key frames do not fit. */
export async function* keySteps(request: DecodeSteps): Steps {
  const { plan, program } = request;
  const isThinned = plan.mostKeyFrames !== undefined;
  if (isThinned && !canCopyPackets(program)) return yield* seekSteps(request);
  const frames = decodeFrames({
    ...frameRequest(request, wallMsThrough(request)),
    keyFramesOnly: true,
    ...(isThinned ? { keysLeftOut: laterKeysExpression(plan) } : {}),
    unprobed: true,
    rowStep: rowStepFor(request),
  });
  let count = 0;
  let lastSeconds = 0;
  let lastStep = -1;
  try {
    for (;;) {
      const next = await frames.next();
      if (next.done === true) {
        if (count < keysToJudgeBy) return yield* seekSteps(request);
        yield* seekPairs(request, lastSeconds, { samples: isThinned });
        // Steps with a pair were left out: without them the gaps are as the key frames lie.
        const share = isThinned ? 1 - 1 / plan.stepsPerPair : 1;
        return await endedEarly(request, next.value, {
          lastSeconds,
          gapSeconds: (2 * share * lastSeconds) / (count - 1),
        });
      }
      lastSeconds = next.value.atSeconds;
      count++;
      const step = stepAt(plan, lastSeconds);
      // The second of all shows only how far apart they are.
      if (!isThinned || step > lastStep)
        yield { frame: next.value, isSample: true, opensPair: false, closesPair: false };
      lastStep = step;
      if (count >= keysToJudgeBy && !keysFit(plan, lastSeconds / (count - 1))) break;
    }
  } finally {
    await frames.return(undefined as never);
  }
  return yield* seekSteps(request, lastSeconds);
}
