import { setImmediate } from 'node:timers/promises';
import type { Refusal, TrackSample } from '../domain/recording.ts';
import type { Reading } from './sighting.ts';
import { maxCues, parseSubRip } from './subRip.ts';
import type { Cue } from './subRip.ts';
import { maxTextLength, parseTelemetryPairs } from './telemetryPairs.ts';
import type { TelemetryContext } from './telemetryPairs.ts';
import { keepRefusals, trackReading } from './timed/trackReading.ts';

/** Reads SubRip text as telemetry; without a track where no cue holds any. */
export function parseTelemetryText(text: string, context: TelemetryContext): Promise<Reading> {
  return trackFromCues(parseSubRip(text), context);
}

// The longest sidecars take seconds: what else goes on, such as the time limits of other files, must not wait for them.
const cuesAtOnce = 250;

/** Turns cues into samples that follow each other, and those into facts of the whole clip. */
async function trackFromCues(cues: Iterable<Cue>, context: TelemetryContext): Promise<Reading> {
  const { source } = context;
  const refused = (raw: string, reason: string): Refusal => ({ what: 'telemetry', raw, source, reason });
  const refusals: Refusal[] = [];
  const samples: TrackSample[] = [];
  let count = 0;
  for (const cue of cues) {
    if (count++ % cuesAtOnce === 0) await setImmediate();
    const read = parseTelemetryPairs(cue.text, context);
    keepRefusals(refusals, read.refusals);
    if (cue.text.length > maxTextLength)
      keepRefusals(refusals, [
        refused(`a cue of more than ${maxTextLength} characters`, 'only its beginning was read'),
      ]);
    if (Object.keys(read.facts).length > 0) {
      samples.push({ startSeconds: cue.startSeconds, endSeconds: cue.endSeconds, ...read.facts });
    }
  }
  if (count === maxCues) refusals.push(refused(`${maxCues} cues`, 'if there are more, they were not read'));
  return trackReading(samples, refusals, context);
}
