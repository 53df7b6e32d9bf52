import { isFlagged } from './arrangement.ts';
import { isByAssumedCurve, isRough } from './exposureNotation.ts';
import type { ReportedRecording } from '../domain/reportedRecording.ts';

/** How to read the table: of the signs that need a word, those that are in it. */
export function tableLegend(rows: readonly ReportedRecording[]): string {
  const parts = [
    rows.some(isFlagged) && '! flagged, explained below',
    'offsets in stops, + is more light',
    '· not known',
    rows.some(({ shutter }) => shutter?.basis === 'picture') && '≈ told by motion blur',
    rows.some(isRough) && '( ) HLG or PQ, known to two stops only',
    rows.some(isByAssumedCurve) && '( ) curve assumed, known to a stop only',
  ];
  return parts.filter((part) => part !== false).join('; ');
}
