import type { ReportedSettings } from '../../document/auditDocument.ts';
import type { ReportedRecording, ReportedFinding } from '../../document/reportedRecording.ts';
import { formatAperture, formatDuration, formatPercent, formatRate } from '../../domain/format.ts';
import type { SmallPicture } from '../../domain/measurement.ts';
import { findingTopic } from '../../findings/index.ts';
import { fileName, isFlagged, ownFindings } from '../arrangement.ts';
import { inClip, placeText } from '../clipPlace.ts';
import { carryWords, filterInShort } from '../carryWording.ts';
import { markTitles, marksOf, usableText, type Mark } from '../marks.ts';
import { shownAngle, shownExposure } from '../settingsNotation.ts';
import { useNames } from '../recordingUse.ts';
import { Glance, PathName, type Lines } from './glance.tsx';
import { BurntFrame, Picture } from './pagePictures.tsx';
import { isVisiblyFaulty, scriptData, sectionId, verdictText, type PageRecording } from './pageRecording.ts';
import { RecordingFacts } from './recordingFacts.tsx';
import { Sentences } from './sentences.tsx';
import { UseBar } from './useBar.tsx';
import { TimePlot } from './timePlot.tsx';

interface RecordingEntryProps {
  readonly entry: PageRecording;
  readonly settings: ReportedSettings;
  readonly isOpen: boolean;
  /** The entry that says the same; it is not said again. */
  readonly sameAs: PageRecording | undefined;
}

/** A row of its own, and behind it what is wrong with one recording, when, what can be done, and all that is known. */
export function RecordingEntry({ entry, settings, isOpen, sameAs }: RecordingEntryProps) {
  const { recording, index, pictures, address } = entry;
  const marks = marksOf(recording, settings);
  const frames = pictures?.frames ?? [];
  const isClip = recording.kind === 'clip';
  return (
    <details class="entry" id={sectionId(index)} open={isOpen} {...scriptData(entry)}>
      <summary>
        <h3>
          <PathName path={recording.path} />
        </h3>
        <Verdict entry={entry} settings={settings} />
      </summary>
      <div class="body">
        <AtAGlance recording={recording} settings={settings} />
        <div>
          {frames.length > 1 && <Strip frames={frames} recording={recording} />}
          <UseBar recording={recording} settings={settings} />
          {isClip && <MarkPlaces recording={recording} marks={marks} />}
          <div class="said">
            {pictures?.burnt && recording.findings.some(isOfHighlights) && (
              <BurntFrame
                burnt={pictures.burnt}
                caption={burntCaption(recording, pictures.burnt.atSeconds)}
              />
            )}
            {sameAs === undefined ? (
              <Sentences
                findings={ownFindings(recording.findings)}
                filter={recording.filter}
                kit={settings}
                usable={usableText(recording, marks)}
                inClip={(text) => inClip(text, recording, marks)}
              />
            ) : (
              <p>
                The same is to be said as of{' '}
                <a href={`#${sectionId(sameAs.index)}`}>{fileName(sameAs.recording.path)}</a>.
              </p>
            )}
          </div>
          {isClip && (
            <details class="over-time">
              <summary>Over time</summary>
              <TimePlot recording={recording} settings={settings} marks={marks} />
            </details>
          )}
          <RecordingFacts recording={recording} settings={settings} />
          {address !== undefined && (
            <p class="note file">
              <a href={address}>Open the file</a>, if it still lies where it was audited.
            </p>
          )}
        </div>
      </div>
    </details>
  );
}

interface VerdictProps {
  readonly entry: PageRecording;
  readonly settings: ReportedSettings;
}

function Verdict({ entry, settings }: VerdictProps) {
  const { recording, use } = entry;
  const carry = carryWords(recording.filter, settings);
  return (
    <>
      {use !== undefined && <span class={`for ${use}`}>{useNames[use]}</span>}
      <span class={verdictClass(entry)}>{verdictText(recording.findings)}</span>
      {carry !== undefined && isFlagged(recording) && <span class="note">carry {carry}</span>}
    </>
  );
}

function verdictClass(entry: PageRecording): string {
  if (isVisiblyFaulty(entry)) return 'verdict flagged';
  return isFlagged(entry.recording) ? 'verdict' : 'verdict quiet';
}

/** The marked stretches in the clip's own notation, each end to be copied with a click. */
function MarkPlaces({ recording, marks }: { recording: ReportedRecording; marks: readonly Mark[] }) {
  if (marks.length === 0) return null;
  const duration = recording.facts.durationSeconds?.value;
  return (
    <ul class="places">
      {marks.slice(0, mostPlaces).map(({ kind, startSeconds, endSeconds }) => (
        <li class={kind}>
          {markTitles[kind]}{' '}
          {startSeconds === 0 && endSeconds === duration ? (
            'all through'
          ) : (
            <>
              <Place recording={recording} seconds={startSeconds} /> to{' '}
              <Place recording={recording} seconds={endSeconds} />
            </>
          )}
        </li>
      ))}
    </ul>
  );
}

/** More are in the plot and in the files for editing programs. */
const mostPlaces = 12;

/** The script makes a button of it that copies it. */
function Place({ recording, seconds }: { recording: ReportedRecording; seconds: number }) {
  return <span class="place">{placeText(recording, seconds)}</span>;
}

/** A burnt frame is shown where something is said of it: a few white pixels are in most pictures. */
function isOfHighlights({ kind }: ReportedFinding): boolean {
  return findingTopic(kind) === 'highlights';
}

interface StripProps {
  readonly frames: readonly SmallPicture[];
  readonly recording: ReportedRecording;
}

function Strip({ frames, recording }: StripProps) {
  const when = ({ atSeconds }: SmallPicture) => placeText(recording, atSeconds);
  const [first, last] = [frames[0]!, frames.at(-1)!].map(when);
  return (
    <div class="strip" role="img" aria-label={`${frames.length} frames, from ${first} to ${last}`}>
      {frames.map((picture) => (
        <Picture picture={picture} when={when(picture)} />
      ))}
    </div>
  );
}

function burntCaption(recording: ReportedRecording, atSeconds: number): string {
  const { kind, picture } = recording;
  const when = kind === 'still' ? '' : `At ${placeText(recording, atSeconds)}. `;
  const share =
    picture === undefined ? '' : `, at most ${formatPercent(picture.clippedFraction.max)} of the picture`;
  return `${when}Striped: what is burnt${share}.`;
}

function AtAGlance({ recording, settings }: { recording: ReportedRecording; settings: ReportedSettings }) {
  const { facts, filter } = recording;
  const { recordedAt, durationSeconds, framesPerSecond, iso, fNumber } = facts;
  const time = recordedAt && /T(\d\d:\d\d:\d\d)/.exec(recordedAt.value)?.[1];
  const lines: Lines = [
    ['shot at', time],
    ['length', durationSeconds && formatDuration(durationSeconds.value)],
    ['rate', framesPerSecond && `${formatRate(framesPerSecond.value)} fps`],
    ['shutter', shownExposure(recording)],
    ['angle', shownAngle(recording)],
    ['ISO', iso && String(Math.round(iso.value))],
    ['aperture', fNumber && formatAperture(fNumber.value)],
    ['fitted', filter?.fitted?.label],
    ['carry', carryWords(filter, settings) ?? filterInShort(filter)],
  ];
  return <Glance lines={lines} />;
}
