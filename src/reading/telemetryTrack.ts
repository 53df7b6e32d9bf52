import { setImmediate } from 'node:timers/promises';
import { displayText } from '../domain/displayText.ts';
import type { Refusal, TrackSample } from '../domain/recording.ts';
import { sighting, type Reading } from './sighting.ts';
import { maxCues, parseSubRip, type Cue } from './subRip.ts';
import { withEvMeaning } from './telemetryEv.ts';
import { maxTextLength, parseTelemetryPairs, type TelemetryContext } from './telemetryPairs.ts';
import { textClock, type TextClock } from './textClock.ts';
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
  let clock: TextClock | undefined;
  let firstText = '';
  let count = 0;
  for (const cue of cues) {
    if (count++ % cuesAtOnce === 0) await setImmediate();
    clock ??= textClock(cue.text, cue.startSeconds);
    firstText ||= cue.text;
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
  if (clock === undefined && samples.length === 0 && refusals.length === 0 && firstText !== '')
    refusals.push(
      refused(displayText(firstText.slice(0, longestShown)), 'holds nothing that is known of telemetry'),
    );
  const reading = trackReading(withEvMeaning(samples), refusals, context);
  return clock === undefined ? reading : withClock(reading, clock, source);
}

const longestShown = 60;

function withClock(reading: Reading, clock: TextClock, source: string): Reading {
  if ('reason' in clock)
    return { ...reading, refusals: [...reading.refusals, { what: 'recordedAt', ...clock, source }] };
  const at = sighting('recordedAt', clock.recordedAt, 'timed-track', `${source}, first clock time`);
  return { ...reading, sightings: [...reading.sightings, at] };
}
