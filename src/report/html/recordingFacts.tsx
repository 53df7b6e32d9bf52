import type { ComponentChildren } from 'preact';
import type { ReportedRecording } from '../../document/reportedRecording.ts';
import type { ReportedSettings } from '../../document/auditDocument.ts';
import { derivations } from '../derivations.ts';
import { shownFacts } from '../../domain/factWording.ts';
import type { ShownFact } from '../../domain/factWording.ts';
import { formatBytes } from '../../domain/format.ts';
import { BlurPlot } from './blurPlot.tsx';

interface RecordingFactsProps {
  readonly recording: ReportedRecording;
  readonly settings: ReportedSettings;
}

/** Every fact with its source, what was refused, and how each number came about; folded away until asked for. */
export function RecordingFacts({ recording, settings }: RecordingFactsProps) {
  const { facts, refusals, sizeBytes, sidecars } = recording;
  return (
    <details>
      <summary>What was read and worked out</summary>
      <Part title="Worked out">
        {derivations(recording, settings).map(({ label, sum }) => (
          <tr>
            <th scope="row">{label}</th>
            <td colspan={2}>{sum}</td>
          </tr>
        ))}
      </Part>
      {recording.shutter?.blur && <BlurPlot blur={recording.shutter.blur} />}
      <Part title="Read">
        {shownFacts(facts).map((fact) => (
          <FactRow fact={fact} />
        ))}
        <tr>
          <th scope="row">file</th>
          <td>{formatBytes(sizeBytes)}</td>
          <td class="note">{sidecars.length === 0 ? 'no sidecar' : `with ${sidecars.join(', ')}`}</td>
        </tr>
      </Part>
      {refusals.length > 0 && (
        <Part title="Found and not believed">
          {refusals.map(({ what, raw, source, reason }) => (
            <tr>
              <th scope="row">{what}</th>
              <td>
                “{raw}”: {reason}
              </td>
              <td class="note">{source}</td>
            </tr>
          ))}
        </Part>
      )}
    </details>
  );
}

function Part({ title, children }: { readonly title: string; readonly children: ComponentChildren }) {
  return (
    <>
      <h4>{title}</h4>
      <table class="facts">
        <tbody>{children}</tbody>
      </table>
    </>
  );
}

function FactRow({ fact: { label, value, source, others } }: { readonly fact: ShownFact }) {
  return (
    <tr>
      <th scope="row">{label}</th>
      <td>{value}</td>
      <td class="note">
        {source}
        {others.map((other) => `; not used: ${other.value} from ${other.source}`)}
      </td>
    </tr>
  );
}
