import { isFlagged } from './arrangement.ts';
import type { RecordingInShort } from './inShort.ts';

/** How to read the table: of the signs that need a word, those that are in it. */
export function tableLegend(rows: readonly RecordingInShort[]): string {
  const parts = [
    rows.some(isFlagged) && '! flagged, explained below',
    'offsets in stops, + is more light',
    '· not known',
    rows.some(({ isShutterByBlur }) => isShutterByBlur) && '≈ told by motion blur',
    rows.some(({ isRough }) => isRough) && '( ) HLG or PQ, known to two stops only',
    rows.some(({ isByAssumedCurve }) => isByAssumedCurve) && '( ) curve assumed, known to a stop only',
  ];
  return parts.filter((part) => part !== false).join('; ');
}
