import type { Refusal, TrackSample } from '../domain/recording.ts';
import type { Reading } from './sighting.ts';
import { parseSubRip } from './subRip.ts';
import type { Cue } from './subRip.ts';
import { parseTelemetryPairs } from './telemetryPairs.ts';
import type { TelemetryContext } from './telemetryPairs.ts';
import { trackReading } from './timed/trackReading.ts';

/** Reads SubRip text as telemetry; without a track where no cue holds any. */
export function parseTelemetryText(text: string, context: TelemetryContext): Reading {
  return trackFromCues(parseSubRip(text), context);
}

/** Turns cues into samples that follow each other, and those into facts of the whole clip. */
function trackFromCues(cues: readonly Cue[], context: TelemetryContext): Reading {
  const refusals: Refusal[] = [];
  const samples: TrackSample[] = [];
  for (const cue of cues) {
    const read = parseTelemetryPairs(cue.text, context);
    refusals.push(...read.refusals);
    if (Object.keys(read.facts).length > 0) {
      samples.push({ startSeconds: cue.startSeconds, endSeconds: cue.endSeconds, ...read.facts });
    }
  }
  return trackReading(samples, refusals, context);
}
