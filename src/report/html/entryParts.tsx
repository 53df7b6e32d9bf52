import type { ReportedFilter } from '../../document/reportedExposure.ts';
import type { ReportedFinding } from '../../document/reportedFinding.ts';
import { capital } from '../../domain/format.ts';
import { findingTopic } from '../../findings/index.ts';
import { weighsEnough } from '../arrangement.ts';
import { filterText } from '../filterWording.ts';
import { meaningId } from './methodSection.tsx';

interface SentencesProps {
  readonly findings: readonly ReportedFinding[];
  readonly filter: ReportedFilter | undefined;
  /** What can be used of it, where something is known of that. */
  readonly usable?: string;
}

/** What was found, then what to do in the edit and next time. */
export function Sentences({ findings, filter, usable }: SentencesProps) {
  const inTheEdit = [usable, ...findings.map((finding) => finding.inTheEdit)];
  const [first, ...others] = filter?.otherwise ?? [];
  const nextTime = [...findings.map(({ nextTime: each }) => each), filter && filterText(filter), first];
  return (
    <dl>
      {findings.map((finding) => (
        <Finding {...finding} />
      ))}
      <Paragraph title="In the edit" parts={inTheEdit} />
      <Paragraph title="Next time" parts={nextTime} folded={others} />
    </dl>
  );
}

function Finding(finding: ReportedFinding) {
  const topic = findingTopic(finding.kind);
  return (
    <div class={weighsEnough(finding) ? undefined : 'remark'}>
      <dt>
        <a href={`#${meaningId(finding.kind)}`}>{capital(topic)}</a>
      </dt>
      <dd>{finding.text}</dd>
    </div>
  );
}

function Paragraph({
  title,
  parts,
  folded = [],
}: {
  readonly title: string;
  readonly parts: readonly (string | undefined)[];
  /** What else would have worked: for whoever asks. */
  readonly folded?: readonly string[];
}) {
  const said = [...new Set(parts.filter((part) => part !== undefined && part !== ''))];
  if (said.length === 0) return null;
  return (
    <div class="todo">
      <dt>{title}</dt>
      <dd>
        {said.map((part) => (
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

interface GlanceProps {
  readonly lines: readonly (readonly [label: string, value: string | undefined])[];
}

/** Few values in two columns; what is unknown is left out. */
export function Glance({ lines }: GlanceProps) {
  return (
    <dl class="glance">
      {lines.map(
        ([label, value]) =>
          value !== undefined && (
            <div>
              <dt>{label}</dt>
              <dd>{value}</dd>
            </div>
          ),
      )}
    </dl>
  );
}

/** A path whose folders stand smaller before the name: the name is what is looked for. */
export function PathName({ path }: { readonly path: string }) {
  const at = path.lastIndexOf('/') + 1;
  return (
    <>
      {at > 0 && <span class="folder">{path.slice(0, at)}</span>}
      {path.slice(at)}
    </>
  );
}
