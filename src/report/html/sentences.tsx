import type { ReportedFilter, ReportedFinding } from '../../document/reportedRecording.ts';
import { capital } from '../../domain/format.ts';
import { findingTopic } from '../../findings/index.ts';
import { weighsEnough } from '../arrangement.ts';
import type { Kit } from '../carryWording.ts';
import { filterText } from '../filterWording.ts';
import { meaningId } from './methodSection.tsx';

interface SentencesProps {
  readonly findings: readonly ReportedFinding[];
  readonly filter: ReportedFilter | undefined;
  readonly kit: Kit;
  /** What can be used of it, where something is known of that. */
  readonly usable?: string;
  /** Says a sentence in the notation of the clip. */
  readonly inClip?: (text: string) => string;
}

/** What was found, then what to do in the edit and next time. */
export function Sentences({ findings, filter, kit, usable, inClip = (text) => text }: SentencesProps) {
  const inTheEdit = [usable, ...findings.map((finding) => finding.inTheEdit)].map(
    (text) => text && inClip(text),
  );
  const [first, ...others] = filter?.otherwise ?? [];
  // Findings that share an advice quote it alike.
  const remedies = new Set(findings.map(({ nextTime: each }) => each));
  const nextTime = [...remedies, filter && filterText(filter, kit), first];
  return (
    <dl>
      {findings.map((finding) => (
        <Finding finding={finding} text={inClip(finding.text)} />
      ))}
      <Paragraph title="In the edit" parts={inTheEdit} />
      <Paragraph title="Next time" parts={nextTime} folded={others} />
    </dl>
  );
}

function Finding({ finding, text }: { readonly finding: ReportedFinding; readonly text: string }) {
  return (
    <div class={weighsEnough(finding) ? undefined : 'remark'}>
      <dt>
        <a href={`#${meaningId(finding.kind)}`}>{capital(findingTopic(finding.kind))}</a>
      </dt>
      <dd>{text}</dd>
    </div>
  );
}

interface ParagraphProps {
  readonly title: string;
  readonly parts: readonly (string | undefined)[];
  /** What else would have worked: for whoever asks. */
  readonly folded?: readonly string[];
}

function Paragraph({ title, parts, folded = [] }: ParagraphProps) {
  const texts = [...new Set(parts.filter((part) => part !== undefined && part !== ''))];
  if (texts.length === 0) return null;
  return (
    <div class="todo">
      <dt>{title}</dt>
      <dd>
        {texts.map((part) => (
          <p>{part}</p>
        ))}
        {folded.length > 0 && (
          <details class="otherwise">
            <summary>What else would do</summary>
            <ul>
              {folded.map((text) => (
                <li>{text}</li>
              ))}
            </ul>
          </details>
        )}
      </dd>
    </div>
  );
}
