import { stopsInWords } from '../domain/format.ts';
import { isBelieved } from './exposureOffset.ts';
import {
  isDoubtful,
  judgedBy,
  offsetData,
  offsetOutside,
  wantedWindow,
  windowLimits,
} from './exposureWindow.ts';
import { finding, type Found } from './finding.ts';

/**
 * Stops by which a picture at base ISO can be brightened before noise shows; each stop of ISO above base takes one
 * away. Common practice, no source.
 */
const brighteningStops = 2;

export const tooDark = finding({
  kind: 'too-dark',
  data: offsetData,
  topic: 'exposure',
  title: 'too dark',
  check: (judged) => offsetOutside(judged, 'dark'),
  sentence: (offset, { windowStops }) => {
    const amount = stopsInWords(offset.offsetStops);
    if (!isBelieved(offset))
      return `By its mean brightness the picture is ${amount} under, more than an exposure goes wrong by: the lens may have been covered, or it shows no scene.`;
    return `The picture is ${amount} under${wantedWindow(windowStops)}, ${judgedBy(offset)}.`;
  },
  remedy: (offset, { isoOverStops = 0, advised }) => {
    const stops = Math.min(-offset.offsetStops, offset.roomStops ?? Infinity);
    const amount = stopsInWords(stops);
    if (!isBelieved(offset)) return { inTheEdit: 'Look at it before you change anything.' };
    if (isDoubtful(offset)) return { inTheEdit: doubtful(offset) };
    return {
      inTheEdit: brightening(stops, isoOverStops),
      nextTime: advised
        ? advised.sentence
        : `Let in ${amount} more light: without a filter, then with a longer shutter, then a higher ISO; in a clip, a weaker filter.`,
    };
  },
  meaning:
    'Less light was let in than the picture wants. Brightening it in the edit brings up noise, first in the shadows.',
  limit: windowLimits.dark,
  example: { weight: 'medium', offsetStops: -1.4, basis: 'metered' },
});

/** Less than a mark of a setting: nothing is left to brighten; common practice, no source. */
const leastRoomStops = 1 / 3;

function doubtful({ offsetStops, roomStops }: Found<typeof offsetData>): string {
  if (roomStops === undefined) return `Brighten by ${stopsInWords(offsetStops)} if it looks too dark.`;
  if (roomStops < leastRoomStops)
    return 'Its brightest parts are as bright as they may be: lift the shadows only.';
  return `Brighten by ${stopsInWords(roomStops)} at most, or lift the shadows only: its brightest parts burn then.`;
}

function brightening(stops: number, isoOverStops: number): string {
  const room = Math.max(0, brighteningStops - isoOverStops);
  const brighten = `Brighten by ${stopsInWords(stops)}`;
  if (stops <= room) return `${brighten}: the noise allows it.`;
  if (room <= 0) return `${brighten} at most, and denoise first: the ISO was high already.`;
  return `${brighten}, and denoise: beyond ${stopsInWords(room)} noise comes up.`;
}
