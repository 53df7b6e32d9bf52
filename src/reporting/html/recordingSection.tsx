import type { ReportedRecording, ReportedSettings } from '../../domain/report.ts';
import { weighsEnough } from '../arrangement.ts';
import { filterText } from '../filterWording.ts';
import { findingTitles } from '../findingTitles.ts';
import { ClippedStrip } from './clippedStrip.tsx';
import { RecordingFacts } from './recordingFacts.tsx';
import { sectionId } from './sectionId.ts';
import { ShutterDisc } from './shutterDisc.tsx';

interface RecordingSectionProps {
  readonly recording: ReportedRecording;
  readonly index: number;
  readonly settings: ReportedSettings;
}

/** What is wrong with one recording, what would have mended it, and everything that is known of it. */
export function RecordingSection({ recording, index, settings }: RecordingSectionProps) {
  const { path, findings, filter, shutter } = recording;
  const advice = filter === undefined ? undefined : filterText(filter);
  const off = findings.some((finding) => weighsEnough(finding) && finding.kind.startsWith('shutter-'));
  return (
    <section class="recording" id={sectionId(index)}>
      <header>
        <div>
          <h3>{path}</h3>
          <ul class="tags">
            {findings.map(({ kind, weight }) => (
              <li class={weight === 'low' ? 'low' : undefined}>{findingTitles[kind].title}</li>
            ))}
          </ul>
        </div>
        {shutter?.angleDegrees !== undefined && (
          <ShutterDisc
            angleDegrees={shutter.angleDegrees}
            targetDegrees={settings.shutterAngleDegrees}
            off={off}
          />
        )}
      </header>
      <ClippedStrip recording={recording} />
      <dl class="said">
        {findings.map(({ kind, text }) => (
          <>
            <dt>{findingTitles[kind].topic}</dt>
            <dd>{text}</dd>
          </>
        ))}
        {advice !== undefined && (
          <>
            <dt>filter</dt>
            <dd class="advice">
              {advice}
              {filter?.otherwise.map((text) => ` ${text}`)}
            </dd>
          </>
        )}
      </dl>
      <RecordingFacts recording={recording} settings={settings} />
    </section>
  );
}
