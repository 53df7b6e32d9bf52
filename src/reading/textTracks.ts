import { setImmediate } from 'node:timers/promises';
import { displayText } from '../domain/displayText.ts';
import type { Refusal, TrackSample } from '../domain/recording.ts';
import type { OpenMedia } from '../programs/openMedia.ts';
import { mediaArgument, runProgram, type Program } from '../programs/run.ts';
import { fileSource, decodeText } from '../containers/byteSource.ts';
import { sighting, type Reading } from './sighting.ts';
import {
  maxTextLength,
  parseTelemetryPairs,
  type ClipContext,
  type TelemetryContext,
} from './telemetryPairs.ts';
import { keepRefusals, trackReading } from './timed/trackReading.ts';

const maxTextBytes = 32 << 20;

export async function readSubRipSidecar(media: OpenMedia, name: string, clip: ClipContext): Promise<Reading> {
  const source = `SubRip sidecar ${name}`;
  const reading = await parseTelemetryText(decodeText(fileSource(media).read(0, maxTextBytes)), {
    ...clip,
    source,
  });
  if (media.sizeBytes <= maxTextBytes) return reading;
  const reason = 'is too long; only its beginning was read';
  const refusal = { what: 'sidecar', raw: `${media.sizeBytes} bytes`, source, reason };
  return { ...reading, refusals: [...reading.refusals, refusal] };
}

/** Reads a text track inside a clip. `position` counts the clip's text tracks from 0. */
export async function readTextTrack(
  media: OpenMedia,
  ffmpeg: Program,
  track: { readonly position: number; readonly codec: string },
  clip: ClipContext,
): Promise<Reading> {
  const source = `text track ${track.position + 1}`;
  // SubRip text is copied as it is; other codings are turned into it, at an eighth of the size of a packet dump.
  const coding = track.codec === 'subrip' ? 'copy' : 'subrip';
  const run = await runProgram({
    program: ffmpeg,
    args: [
      ...'-hide_banner -nostdin -v error -protocol_whitelist file,pipe -i'.split(' '),
      mediaArgument(media),
      ...`-map 0:s:${track.position} -c:s ${coding} -f srt pipe:1`.split(' '),
    ],
    media,
    // Some containers must be read whole to find the text: a 100 GB recording takes minutes.
    wallMs: 300_000,
    stdoutBytes: maxTextBytes,
    stderrBytes: 65_536,
    memoryKiB: 900_000,
  });
  const reading = await parseTelemetryText(decodeText(run.stdout), { ...clip, source });
  if (run.ended === 'exit' && run.exitCode === 0) return reading;
  const reason = `could only be read in part (${run.ended === 'exit' ? `exit status ${run.exitCode}` : run.ended})`;
  return { ...reading, refusals: [...reading.refusals, { what: 'text track', raw: source, source, reason }] };
}

// Of a text that holds nothing, how much is shown.
const longestShown = 60;
// The longest sidecars take seconds: what else goes on, such as the time limits of other files, must not wait for them.
const cuesPerTurn = 250;

/** Turns the cues of SubRip text into samples that follow each other; without a track where none holds telemetry. */
export async function parseTelemetryText(text: string, context: TelemetryContext): Promise<Reading> {
  const { source } = context;
  const refused = (raw: string, reason: string): Refusal => ({ what: 'telemetry', raw, source, reason });
  const refusals: Refusal[] = [];
  const samples: TrackSample[] = [];
  let clock: TextClock | undefined;
  let firstText = '';
  let count = 0;
  for (const cue of parseSubRip(text)) {
    if (count++ % cuesPerTurn === 0) await setImmediate();
    clock ??= textClock(cue.text, cue.startSeconds);
    firstText ||= cue.text;
    const read = parseTelemetryPairs(cue.text, context);
    keepRefusals(refusals, read.refusals);
    if (cue.text.length > maxTextLength)
      keepRefusals(refusals, [
        refused(`a cue of more than ${maxTextLength} characters`, 'only its beginning was read'),
      ]);
    if (Object.keys(read.facts).length > 0)
      samples.push({ startSeconds: cue.startSeconds, endSeconds: cue.endSeconds, ...read.facts });
  }
  if (count === maxCues) refusals.push(refused(`${maxCues} cues`, 'if there are more, they were not read'));
  if (clock === undefined && samples.length === 0 && refusals.length === 0 && firstText !== '')
    refusals.push(
      refused(displayText(firstText.slice(0, longestShown)), 'holds nothing that is known of telemetry'),
    );
  const reading = trackReading(withEvMeaning(samples), refusals, context);
  return clock === undefined ? reading : withClock(reading, clock, source);
}

function withClock(reading: Reading, clock: TextClock, source: string): Reading {
  if ('reason' in clock)
    return { ...reading, refusals: [...reading.refusals, { what: 'recordedAt', ...clock, source }] };
  const at = sighting('recordedAt', clock.recordedAt, 'timed-track', `${source}, first clock time`);
  return { ...reading, sightings: [...reading.sightings, at] };
}

// What is known of "EV" in telemetry, before any code: where exposure is automatic it is the compensation that was
// dialled in, and where it is set by hand the reading of the meter (common practice, no source). Nothing in the text
// says which. A compensation stands still while the camera moves shutter or ISO; a meter moves while both stand still.

// Half the smallest step in which a camera shows either.
const movesStops = 0.05;

/** Gives each EV its meaning where the clip shows which it is; elsewhere it stays as it was read. */
function withEvMeaning(samples: readonly TrackSample[]): readonly TrackSample[] {
  const meaning = evMeaning(samples);
  if (meaning === undefined) return samples;
  return samples.map(({ evAsReadStops, ...sample }) =>
    evAsReadStops === undefined ? sample : { [meaning]: evAsReadStops, ...sample },
  );
}

function evMeaning(samples: readonly TrackSample[]): 'exposureBiasStops' | 'meteredOffsetStops' | undefined {
  const withEv = samples.filter(({ evAsReadStops }) => evAsReadStops !== undefined);
  const settings = [
    withEv.flatMap(({ exposureSeconds }) =>
      exposureSeconds === undefined ? [] : Math.log2(exposureSeconds),
    ),
    withEv.flatMap(({ iso }) => (iso === undefined ? [] : Math.log2(iso))),
    withEv.flatMap(({ fNumber }) => (fNumber === undefined ? [] : 2 * Math.log2(fNumber))),
  ];
  const [times = [], sensitivities = []] = settings;
  const isTold = times.length === withEv.length && sensitivities.length === withEv.length;
  const settingsMove = settings.some(moves);
  const evMoves = moves(withEv.map(({ evAsReadStops }) => evAsReadStops!));
  if (settingsMove && !evMoves) return 'exposureBiasStops';
  return evMoves && !settingsMove && isTold ? 'meteredOffsetStops' : undefined;
}

function moves(stops: readonly number[]): boolean {
  let [low, high] = [Infinity, -Infinity];
  for (const value of stops) [low, high] = [Math.min(low, value), Math.max(high, value)];
  return high - low > movesStops;
}

// Aircraft write the local time of the place, without a zone: "2024-07-09 18:22:41.183", with milliseconds and
// microseconds behind commas, or "2017.08.05 14:11:51". A day first ("05.08.2017") could be a month first: not read.
const clock =
  /(?<![\d.])(\d{4})([-./])(\d{1,2})\2(\d{1,2})[ \tT]{1,2}(\d{1,2}):(\d\d):(\d\d)(?:[.,:](\d{3}))?(?:[.,:]?(\d{3}))?(Z|[+-]\d\d:\d\d)?(?![\d:])/;

/** A clock time as it stands in a text, or why it is none; undefined where there is none. */
type TextClock = { readonly recordedAt: string } | Pick<Refusal, 'raw' | 'reason'>;

/**
 * The first clock time in a text, turned back by the seconds that passed since the clip began.
 * @returns ISO 8601, with as many digits behind the seconds as were written; with a zone only where one was written
 */
function textClock(text: string, passedSeconds: number): TextClock | undefined {
  const match = clock.exec(text);
  if (match === null) return undefined;
  const [
    raw,
    year = '',
    ,
    month = '',
    day = '',
    hours = '',
    minutes,
    seconds,
    milliseconds = '',
    micros = '',
  ] = match;
  const written = `${year}-${month.padStart(2, '0')}-${day.padStart(2, '0')}T${hours.padStart(2, '0')}:${minutes}:${seconds}`;
  const atMs = Date.parse(`${written}.${milliseconds.padEnd(3, '0')}Z`);
  // Date.parse takes the 31st of February for a day in March.
  if (Number.isNaN(atMs) || Number(new Date(atMs).getUTCDate()) !== Number(day))
    return { raw, reason: 'is a time of no calendar' };
  if (Number(year) < 1990) return { raw, reason: 'is the zero of a clock that was never set' };
  const passedMs = milliseconds === '' ? Math.round(passedSeconds) * 1000 : Math.round(passedSeconds * 1000);
  const [stamp = '', fraction = ''] = new Date(atMs - passedMs).toISOString().slice(0, -1).split('.');
  const digits = milliseconds === '' ? '' : `.${fraction}${micros}`;
  return { recordedAt: `${stamp}${digits}${match[10] ?? ''}` };
}

/** One cue of a SubRip file. Seconds count from the start of the clip. */
interface Cue {
  readonly startSeconds: number;
  readonly endSeconds: number;
  readonly text: string;
}

/** Cues beyond this are not read: this is an hour with a cue for each of 28 frames a second. */
const maxCues = 100_000;
// A cue of telemetry holds a dozen lines. Of more, the first and the last are kept: a text of 32 MB may be all line ends.
const maxCueLines = 200;
const maxLines = 2_000_000;
// A line that is longer than a cue may be is noticed as that.
const maxLineCharacters = maxTextLength + 1;
// "0:0:0-->0:0:1"
const shortestTimes = 13;
const times =
  /^\s{0,8}(\d{1,3}):(\d{1,2}):(\d{1,2})(?:[,.](\d{1,3}))?\s{0,4}-->\s{0,4}(\d{1,3}):(\d{1,2}):(\d{1,2})(?:[,.](\d{1,3}))?/;

interface OpenCue extends Omit<Cue, 'text'> {
  readonly lines: string[];
}

/**
 * Reads SubRip text, which no standard fixes: a time line opens a cue, whatever stands above it, and the cue's text
 * runs to the next one. In the order of the file, each when it is asked for; no more than 100,000 cues.
 */
export function* parseSubRip(text: string): Generator<Cue> {
  let open: OpenCue | undefined;
  let count = 0;
  for (const line of linesOf(text)) {
    const match = line.length < shortestTimes ? null : times.exec(line);
    if (match === null) {
      if (open !== undefined) open.lines[Math.min(open.lines.length, maxCueLines - 1)] = line;
      continue;
    }
    if (open !== undefined) yield closed(open);
    if (count++ >= maxCues) return;
    const startSeconds = seconds(match, 1);
    open = { startSeconds, endSeconds: Math.max(startSeconds, seconds(match, 5)), lines: [] };
  }
  if (open !== undefined) yield closed(open);
}

function* linesOf(text: string): Generator<string> {
  const lineEnd = /\r\n|\r|\n/g;
  let from = text.startsWith('\uFEFF') ? 1 : 0;
  for (let count = 0; count < maxLines; count += 1) {
    const end = lineEnd.exec(text);
    yield text.slice(from, Math.min(end?.index ?? text.length, from + maxLineCharacters));
    if (end === null) return;
    from = lineEnd.lastIndex;
  }
}

function seconds(match: RegExpExecArray, at: number): number {
  const [hours = 0, minutes = 0, wholeSeconds = 0] = match.slice(at, at + 3).map(Number);
  // "5" after the comma is five tenths, not five thousandths.
  return hours * 3600 + minutes * 60 + wholeSeconds + Number(`0.${match[at + 3] ?? '0'}`);
}

function closed({ lines, ...span }: OpenCue): Cue {
  // What stands above the next time line is its number, not a line of this cue.
  const own = /^\s*\d+\s*$/.test(lines.at(-1) ?? '') ? lines.slice(0, -1) : lines;
  return { ...span, text: own.join('\n').trim() };
}
