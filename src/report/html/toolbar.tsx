import { isFlagged } from '../arrangement.ts';
import { findingTitle } from '../../findings/index.ts';
import type { AuditInShort } from '../inShort.ts';

type ToolbarProps = Pick<AuditInShort, 'recordings' | 'sequences'>;

/** Filter and order. Hidden until the script shows it, since it does nothing without. */
export function Toolbar({ recordings, sequences }: ToolbarProps) {
  const all = [...recordings, ...sequences];
  const kinds = [...new Set(all.flatMap(({ findings }) => findings.map(({ kind }) => kind)))];
  const having = (kind: string) =>
    all.filter(({ findings }) => findings.some((finding) => finding.kind === kind)).length;
  return (
    <div
      class="tools"
      role="group"
      aria-label="Filter and order of the recordings"
      data-total={recordings.length}
      data-series-word={wordFor(sequences)}
      hidden
    >
      <label for="show">
        Show{' '}
        <select id="show">
          <option value="">everything</option>
          <option value="flagged">what is flagged ({all.filter(isFlagged).length})</option>
          {kinds.map((kind) => (
            <option value={kind}>
              {findingTitle(kind)} ({having(kind)})
            </option>
          ))}
        </select>
      </label>
      <label for="order">
        Order{' '}
        <select id="order">
          <option value="shot">as shot</option>
          <option value="serious">most serious first</option>
          <option value="clipped">most clipped first</option>
          <option value="shutter">shutter farthest off first</option>
        </select>
      </label>
      <span id="said" role="status" />
      <span class="keys">
        In the entries, <kbd>j</kbd> and <kbd>k</kbd> go on and back.
      </span>
    </div>
  );
}

/** What all of them together are called. */
function wordFor(sequences: ToolbarProps['sequences']): string {
  const kinds = new Set(sequences.map(({ kind }) => kind));
  if (!kinds.has('bracket')) return 'series';
  if (kinds.has('interval')) return 'series and brackets';
  return sequences.length === 1 ? 'bracket' : 'brackets';
}
