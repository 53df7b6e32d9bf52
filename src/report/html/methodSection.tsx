import type { AuditDocument } from '../../document/auditDocument.ts';
import type { ReportedRecording } from '../../document/reportedRecording.ts';
import {
  capital,
  counted,
  formatAngle,
  formatDuration,
  formatPercent,
  formatStops,
} from '../../domain/format.ts';
import { explanationOf, type FindingKind } from '../../findings/index.ts';

interface MethodEntry {
  readonly title: string;
  readonly text: string;
}

/** The last sections: what the findings mean, how it was measured, and how far to trust it. */
export function MeaningsAndMethod({ document }: { readonly document: AuditDocument }) {
  return (
    <>
      <Meanings document={document} />
      <section class="method" aria-labelledby="method">
        <h2 id="method">Method and accuracy</h2>
        <details>
          <summary>How it was measured, and how exact it is</summary>
          <Terms entries={methodEntries(document)} />
          <h3>How exact it is</h3>
          <p class="note">Measured on test footage whose truth is known.</p>
          <Terms entries={accuracyEntries} />
        </details>
      </section>
    </>
  );
}

export function meaningId(kind: FindingKind): string {
  return `finding-${kind}`;
}

/** What each kind of finding that there is means; nothing where there is none. */
function Meanings({ document }: { readonly document: AuditDocument }) {
  const findings = [...document.recordings, ...document.sequences].flatMap((each) => each.findings);
  if (findings.length === 0) return null;
  const kinds = new Set(findings.map(({ kind }) => kind));
  const entries = [...kinds].map((kind) => {
    const { title, meaning, limit } = explanationOf(kind);
    const text = `${meaning} Said from: ${limit.at}. Source: ${limit.source}.`;
    return { id: meaningId(kind), title: capital(title), text };
  });
  return (
    <section aria-labelledby="meanings">
      <h2 id="meanings">What the findings mean</h2>
      <details>
        <summary>Each finding, its limit and its source</summary>
        <Terms entries={entries} />
      </details>
    </section>
  );
}

function Terms({ entries }: { readonly entries: readonly (MethodEntry & { readonly id?: string })[] }) {
  return (
    <dl class="terms">
      {entries.map(({ id, title, text }) => (
        <div id={id}>
          <dt>{title}</dt>
          <dd>{text}</dd>
        </div>
      ))}
    </dl>
  );
}

/** How every number of a report came about, under the limits that were in force. */
function methodEntries({ recordings, settings }: AuditDocument): readonly MethodEntry[] {
  const target = formatAngle(settings.shutterAngleDegrees);
  const tolerance = settings.shutterToleranceStops.toFixed(2);
  const [low, high] = settings.windowStops.map(formatStops);
  return [
    {
      title: 'Shutter angle',
      text: `360° × frames per second × exposure time, from what the camera recorded; where it recorded no exposure time, told by the motion blur in whole degrees and marked ≈. The target is ${target}, and up to ${tolerance} stops to either side count as on target. Whether a wrong angle shows depends on how much the picture moves, which is measured.`,
    },
    {
      title: 'Clipped',
      text: `A place is clipped where the signal reached its ceiling and no detail is left; each entry says which ceiling was taken. More than ${formatPercent(settings.clippedFraction)} of the picture is flagged (the area that EBU R 103 accepts). A small round spot, such as the sun, is told apart and only remarked on.`,
    },
    {
      title: 'Brightness',
      text: `The mean light of the scene in the picture against mid-grey (18%). It depends on the subject, so the camera's own meter is believed first where it was recorded. HLG and PQ cameras place white up to two stops apart: what that explains is left out, and the number stands in brackets. ${low} to ${high} stops is wanted.`,
    },
    {
      title: 'Motion',
      text: 'How far the picture moves from one frame to the next, in pixels of the recorded width, from pairs of frames that follow each other.',
    },
    {
      title: 'Filter',
      text: `The light that still had to be taken away: the stops from the recorded shutter to the target, and from the recorded ISO to ISO ${Math.round(settings.baseIso)}, and the exposure offset. The filter is chosen that leaves the exposure between ${low} and ${high} stops and nearest to right. ${kitText(settings)}`,
    },
    { title: 'What was looked at', text: lookedAt(recordings, settings.measure) },
  ];
}

/** How far the numbers can be trusted. The tolerances are those of the tests on footage whose truth is known. */
const accuracyEntries: readonly MethodEntry[] = [
  { title: 'Shutter angle', text: '0.01° of what follows from the recorded values.' },
  { title: 'Clipped', text: '0.5% of the picture; stretches to one step between looked-at frames.' },
  {
    title: 'Brightness',
    text: '0.1 stop of what was written. Of the light itself half a stop, in 86 of 100 frames of exposure brackets up to two stops off: cameras press highlights together, which is undone in their usual curves.',
  },
  { title: 'Motion', text: '0.1 pixel or 2%, whichever is more.' },
  {
    title: 'Not found out',
    text: 'A recorded exposure time is believed unless it is impossible: a camera that records a wrong one is not found out. What happens only between two looked-at frames is not seen.',
  },
];

function kitText({ kit, kitAssumed }: AuditDocument['settings']): string {
  if (kitAssumed) return 'No kit was named, so common strengths were assumed.';
  return kit.length === 0 ? '' : `The kit: ${kit.map(({ label }) => label).join(', ')}.`;
}

function lookedAt(
  recordings: readonly ReportedRecording[],
  measure: AuditDocument['settings']['measure'],
): string {
  if (measure === 'off')
    return 'No picture was looked at: only what was recorded beside the pictures was read.';
  const measured = recordings.filter(({ picture }) => picture !== undefined);
  const clips = measured.filter(({ kind }) => kind === 'clip');
  const frames = clips.reduce((sum, { picture }) => sum + picture!.framesMeasured, 0);
  const stills = measured.length - clips.length;
  const steps = clips.flatMap(({ picture }) => picture?.samplingStepSeconds ?? []);
  const apart = steps.length === 0 ? '' : `, at most ${formatDuration(Math.max(...steps))} apart`;
  return `${counted(frames, 'frame')} of ${counted(clips.length, 'clip')}${apart}, and ${counted(stills, 'still')} at full size.`;
}
