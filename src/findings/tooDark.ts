import { stopsInWords } from '../domain/format.ts';
import {
  isDoubtful,
  judgedBy,
  offsetData,
  offsetOutside,
  wantedWindow,
  windowLimits,
} from './exposureWindow.ts';
import { finding } from './finding.ts';

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
  sentence: (offset, { windowStops }) =>
    `The picture is ${stopsInWords(offset.offsetStops)} under${wantedWindow(windowStops)}, ${judgedBy(offset)}.`,
  remedy: (offset, { isoOverStops = 0, filterAdvised }) => {
    const amount = stopsInWords(offset.offsetStops);
    if (isDoubtful(offset)) return { inTheEdit: `Brighten by ${amount} if it looks too dark.` };
    return {
      inTheEdit: brightening(-offset.offsetStops, isoOverStops),
      nextTime:
        filterAdvised === true ? undefined : `Take ${amount} less away with a filter, or fly without one.`,
    };
  },
  meaning:
    'Less light was let in than the picture wants. Brightening it in the edit brings up noise, first in the shadows.',
  limit: windowLimits.dark,
  example: { weight: 'medium', offsetStops: -1.4, basis: 'metered' },
});

function brightening(stops: number, isoOverStops: number): string {
  const room = Math.max(0, brighteningStops - isoOverStops);
  const brighten = `Brighten by ${stopsInWords(stops)}`;
  if (stops <= room) return `${brighten}: the noise allows it.`;
  if (room <= 0) return `${brighten} at most, and denoise first: the ISO was high already.`;
  return `${brighten}, and denoise: beyond ${stopsInWords(room)} noise comes up.`;
}
