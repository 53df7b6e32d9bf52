import { framesPerSecond, type FrameRate } from './frameRate.ts';

/*
 * SMPTE ST 12-1. Labels count whole frames of the nominal rate (30 for 30000/1001), so they run slow against the
 * clock: 3.6 s an hour. Drop-frame counting leaves out labels (never frames): at 30000/1001 the labels 00 and 01 of
 * every minute but each tenth, four of them at 60000/1001. Drop-frame is not defined for 24000/1001. ";" before the
 * frames marks it. Labels wrap at 24 hours.
 */

interface LabelCounts {
  readonly perSecond: number;
  /** Labels left out at the start of a minute. */
  readonly dropped: number;
  readonly perMinute: number;
  readonly perTenMinutes: number;
}

function labelCounts(frameRate: FrameRate, dropFrame: boolean): LabelCounts | undefined {
  const perSecond = Math.round(framesPerSecond(frameRate));
  if (perSecond < 1) return undefined;
  if (dropFrame && (frameRate.denominator !== 1001 || perSecond % 30 !== 0)) return undefined;
  const dropped = dropFrame ? perSecond / 15 : 0;
  const perMinute = 60 * perSecond - dropped;
  return { perSecond, dropped, perMinute, perTenMinutes: 10 * perMinute + dropped };
}

/** Label number of a frame: its index plus the labels left out before it. */
function labelNumber(frameIndex: number, counts: LabelCounts): number {
  const tens = Math.floor(frameIndex / counts.perTenMinutes);
  const remainder = frameIndex % counts.perTenMinutes;
  const minutes = Math.max(0, Math.floor((remainder - counts.dropped) / counts.perMinute));
  return frameIndex + counts.dropped * (9 * tens + minutes);
}

/**
 * Timecode label of a frame.
 * @param place `frameIndex` from 0 at label 00:00:00:00
 * @returns `hh:mm:ss:ff`, with `;` before the frames for drop-frame; undefined where drop-frame is not defined
 * Source: SMPTE ST 12-1 counting.
 * @example timecodeOfFrame({ frameIndex: 1800, frameRate: { numerator: 30000, denominator: 1001 }, dropFrame: true }) // '00:01:00;02'
 */
export function timecodeOfFrame(place: {
  readonly frameIndex: number;
  readonly frameRate: FrameRate;
  readonly dropFrame: boolean;
}): string | undefined {
  const counts = labelCounts(place.frameRate, place.dropFrame);
  if (!counts || !Number.isInteger(place.frameIndex) || place.frameIndex < 0) return undefined;
  const label = labelNumber(place.frameIndex % (144 * counts.perTenMinutes), counts);
  const seconds = Math.floor(label / counts.perSecond);
  const fields = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60, seconds % 60];
  const clock = fields.map((field) => String(field).padStart(2, '0')).join(':');
  return `${clock}${place.dropFrame ? ';' : ':'}${String(label % counts.perSecond).padStart(2, '0')}`;
}

/**
 * Frame of a timecode label.
 * @returns frame index from 0; undefined for a label that does not exist, such as one that drop-frame leaves out
 * Source: SMPTE ST 12-1 counting.
 * @example frameOfTimecode({ timecode: '00:10:00;00', frameRate: { numerator: 30000, denominator: 1001 } }) // 17982
 */
export function frameOfTimecode(label: {
  readonly timecode: string;
  readonly frameRate: FrameRate;
}): number | undefined {
  const parts = /^(\d{2}):(\d{2}):(\d{2})([:;])(\d{2,3})$/.exec(label.timecode);
  const counts = labelCounts(label.frameRate, parts?.[4] === ';');
  if (!parts || !counts) return undefined;
  const [hours, minutes, seconds] = [Number(parts[1]), Number(parts[2]), Number(parts[3])];
  const frames = Number(parts[5]);
  if (hours > 23 || minutes > 59 || seconds > 59 || frames >= counts.perSecond) return undefined;
  if (minutes % 10 !== 0 && seconds === 0 && frames < counts.dropped) return undefined;
  const minuteNumber = 60 * hours + minutes;
  const leftOut = counts.dropped * (minuteNumber - Math.floor(minuteNumber / 10));
  return (minuteNumber * 60 + seconds) * counts.perSecond + frames - leftOut;
}
