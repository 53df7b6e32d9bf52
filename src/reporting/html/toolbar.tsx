import { isFlagged } from '../arrangement.ts';
import { findingTitles } from '../findingTitles.ts';
import type { RecordingInShort } from '../inShort.ts';

interface ToolbarProps {
  readonly recordings: readonly RecordingInShort[];
}

/** Filter and order. Hidden until the script shows it, since it does nothing without. */
export function Toolbar({ recordings }: ToolbarProps) {
  const kinds = [...new Set(recordings.flatMap(({ findings }) => findings.map(({ kind }) => kind)))];
  const having = (kind: string) =>
    recordings.filter(({ findings }) => findings.some((finding) => finding.kind === kind)).length;
  return (
    <div
      class="tools"
      role="group"
      aria-label="Filter and order of the recordings"
      data-total={recordings.length}
      hidden
    >
      <label for="show">
        Show{' '}
        <select id="show">
          <option value="">everything</option>
          <option value="flagged">what is flagged ({recordings.filter(isFlagged).length})</option>
          {kinds.map((kind) => (
            <option value={kind}>
              {findingTitles[kind].title} ({having(kind)})
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
