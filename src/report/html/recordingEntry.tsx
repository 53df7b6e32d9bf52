import type { ComponentChildren } from 'preact';
import type { ReportedSettings } from '../../document/auditDocument.ts';
import type { ReportedRecording } from '../../document/reportedRecording.ts';
import { formatAperture, formatDuration, formatPercent, formatRate } from '../../domain/format.ts';
import type { SmallPicture } from '../../domain/measurement.ts';
import { findingTopic } from '../../findings/index.ts';
import { isFlagged, ownFindings } from '../arrangement.ts';
import { filterInShort } from '../filterWording.ts';
import { marksOf, usableText } from '../marks.ts';
import { shownAngle, shownExposure } from '../settingsNotation.ts';
import { PathName, Glance, Sentences } from './entryParts.tsx';
import { BurntFrame, Picture } from './pagePictures.tsx';
import { scriptData, sectionId, verdictText, type PageRecording } from './pageRecording.ts';
import { RecordingFacts } from './recordingFacts.tsx';
import { FoldingPlot, TimePlot } from './timePlot.tsx';

interface EntryProps {
  readonly entry: PageRecording;
  readonly settings: ReportedSettings;
}

/** What is wrong with one recording, when, what can be done about it, and everything that is known of it. */
export function RecordingEntry({ entry, settings }: EntryProps) {
  const { recording, index, pictures } = entry;
  const marks = marksOf(recording, settings);
  const flagged = isFlagged(recording);
  const frames = pictures?.frames ?? [];
  const strip = frames.length > 1 && <Strip frames={frames} />;
  const plot = { recording, settings, marks };
  return (
    <article
      class="entry"
      id={sectionId(index)}
      tabindex={-1}
      aria-labelledby={`${sectionId(index)}-name`}
      {...scriptData(entry)}
    >
      <header>
        <h3 id={`${sectionId(index)}-name`}>
          <PathName path={recording.path} />
        </h3>
        <AtAGlance recording={recording} />
      </header>
      <div class="body">
        <p class={flagged ? 'verdict flagged' : 'verdict'}>{verdictText(recording.findings)}</p>
        <div class="said">
          {pictures?.burnt && tellsOfWhite(recording) && (
            <BurntFrame burnt={pictures.burnt} caption={burntCaption(recording, pictures.burnt.atSeconds)} />
          )}
          <Sentences
            findings={ownFindings(recording.findings)}
            filter={recording.filter}
            usable={usableText(recording, marks)}
          />
        </div>
        {flagged ? (
          <>
            {strip}
            <FoldingPlot {...plot} />
          </>
        ) : (
          recording.kind === 'clip' && (
            <Folded title="Frames and plots">
              {strip}
              <TimePlot {...plot} />
            </Folded>
          )
        )}
        <RecordingFacts recording={recording} settings={settings} />
      </div>
    </article>
  );
}

/** A burnt frame is shown where something is said of it: a few white pixels are in most pictures. */
function tellsOfWhite({ findings }: ReportedRecording): boolean {
  return findings.some(({ kind }) => findingTopic(kind) === 'highlights');
}

function Strip({ frames }: { readonly frames: readonly SmallPicture[] }) {
  const [first, last] = [frames[0], frames.at(-1)].map((frame) => formatDuration(frame?.atSeconds ?? 0));
  return (
    <div class="strip" role="img" aria-label={`${frames.length} frames, from ${first} to ${last}`}>
      {frames.map((picture) => (
        <Picture picture={picture} />
      ))}
    </div>
  );
}

/** What hardly anybody needs of a clip in which nothing is flagged. */
function Folded({ title, children }: { readonly title: string; readonly children: ComponentChildren }) {
  return (
    <details>
      <summary>{title}</summary>
      {children}
    </details>
  );
}

function burntCaption({ kind, picture }: ReportedRecording, atSeconds: number): string {
  const when = kind === 'still' ? '' : `At ${formatDuration(atSeconds)}. `;
  const share =
    picture === undefined ? '' : `, at most ${formatPercent(picture.clippedFraction.max)} of the picture`;
  return `${when}Striped: what is burnt${share}.`;
}

function AtAGlance({ recording }: { readonly recording: ReportedRecording }) {
  const { facts, filter } = recording;
  const { recordedAt, durationSeconds, framesPerSecond, iso, fNumber } = facts;
  const time = recordedAt && /T(\d\d:\d\d:\d\d)/.exec(recordedAt.value)?.[1];
  const lines: readonly (readonly [string, string | undefined])[] = [
    ['shot at', time],
    ['length', durationSeconds && formatDuration(durationSeconds.value)],
    ['rate', framesPerSecond && `${formatRate(framesPerSecond.value)} fps`],
    ['shutter', shownExposure(recording)],
    ['angle', shownAngle(recording)],
    ['ISO', iso && String(Math.round(iso.value))],
    ['aperture', fNumber && formatAperture(fNumber.value)],
    ['fitted', filter?.fitted?.label],
    ['carry', filterInShort(filter)],
  ];
  return <Glance lines={lines} />;
}
