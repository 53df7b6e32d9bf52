import type { Measurement } from '../../domain/measurement.ts';
import { frameRequest, rowStepFor, seekWallMs } from './clipDecoding.ts';
import type { StepsRequest } from './clipDecoding.ts';
import { decodeFrames } from './decodeFrames.ts';
import type { FramesEnd } from './decodeFrames.ts';

export type EndedEarly = Measurement['endedEarly'];

/** Sound often outlasts the pictures by less than this. */
const toleratedGapSeconds = 0.5;
/** Share of the frames in the index: edit lists and the first frames of an open group may be left out. */
const mostlyThere = 0.9;

interface Reached {
  readonly lastSeconds: number | undefined;
  readonly gapSeconds?: number;
  /** Of a clip that was decoded from its start. */
  readonly framesDecoded?: number;
}

/** Whether the pictures of a clip ended before they should have, and why. */
export async function endedEarly(
  request: StepsRequest,
  end: FramesEnd,
  reached: Reached,
): Promise<EndedEarly> {
  const { plan } = request;
  const { lastSeconds: atSeconds = 0, gapSeconds = 0 } = reached;
  const expectedSeconds = plan.steps === undefined ? undefined : plan.steps * plan.stepSeconds;
  const missingSeconds =
    expectedSeconds === undefined ? 0 : expectedSeconds - atSeconds - 1 / request.framesPerSecond;
  if (end.ended === 'exit' && missingSeconds <= toleratedGapSeconds + gapSeconds) return undefined;
  const isSilent = end.ended === 'exit' && end.exitCode === 0 && end.complaint === undefined;
  if (isSilent && (await showsItsEnd(request, expectedSeconds!, reached.framesDecoded))) return undefined;
  return { atSeconds, ...reasonFor(end) };
}

/**
 * Whether the pictures of a clip are all there although the last one is shown long before the clip ends: it may last
 * until then, or the sound goes on. Of what was cut off, a jump to the end finds nothing.
 */
async function showsItsEnd(
  request: StepsRequest,
  endSeconds: number,
  framesDecoded: number | undefined,
): Promise<boolean> {
  if (framesDecoded !== undefined && request.frameCount !== undefined) {
    if (framesDecoded >= request.frameCount) return true;
    if (framesDecoded < mostlyThere * request.frameCount) return false;
  }
  const jump = decodeFrames({
    ...frameRequest(request, seekWallMs),
    startSeconds: endSeconds,
    select: '0',
    rowStep: rowStepFor(request),
  });
  for (;;) {
    const next = await jump.next();
    if (next.done === true) return next.value.framesDecoded > 0 && next.value.complaint === undefined;
  }
}

function reasonFor(end: FramesEnd): Omit<NonNullable<EndedEarly>, 'atSeconds'> {
  if (end.ended === 'time-out') return { reason: 'decoding took too long and was stopped' };
  if (end.ended === 'crash') return { reason: 'ffmpeg crashed' };
  if (end.complaint !== undefined)
    return { reason: 'what follows is damaged or missing', detail: `ffmpeg: ${end.complaint}` };
  return { reason: 'the pictures end before the clip does' };
}
