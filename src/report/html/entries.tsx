import type { ReportedSettings, ReportedSequence } from '../../document/auditDocument.ts';
import type { ReportedFilter, ReportedRecording, ReportedFinding } from '../../document/reportedRecording.ts';
import {
  formatAperture,
  formatDuration,
  formatPercent,
  formatRate,
  formatAngle,
  formatExposure,
  formatMetres,
  formatStops,
  stopsInWords,
  capital,
} from '../../domain/format.ts';
import type { SmallPicture } from '../../domain/measurement.ts';
import { findingTopic } from '../../findings/index.ts';
import { fileName, isFlagged, ownFindings, weighsEnough } from '../arrangement.ts';
import { inTimecode, placeText } from '../clipPlace.ts';
import { filterInShort, filterText } from '../filterWording.ts';
import { markTitles, marksOf, usableText, type Mark } from '../marks.ts';
import { pixelsInWords, sequenceNames } from '../sequenceWording.ts';
import { shownAngle, shownExposure } from '../settingsNotation.ts';
import { meaningId } from './methodSection.tsx';
import { BurntFrame, Picture, middlePicture } from './pagePictures.tsx';
import {
  isVisiblyFaulty,
  scriptData,
  sectionId,
  verdictText,
  seriesScriptData,
  seriesId,
  type PageRecording,
} from './pageRecording.ts';
import { RecordingFacts } from './recordingFacts.tsx';
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
        <Verdict entry={entry} />
      </summary>
      <div class="body">
        <AtAGlance recording={recording} />
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
                usable={usableText(recording, marks)}
                inClip={(text) => inTimecode(text, recording, marks)}
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
              <a href={address}>Open the file</a>, as long as it lies where it was audited.
            </p>
          )}
        </div>
      </div>
    </details>
  );
}

function Verdict({ entry }: { readonly entry: PageRecording }) {
  const { recording, use } = entry;
  const carry = filterInShort(recording.filter);
  return (
    <>
      {use !== undefined && <span class={`for ${use}`}>{use}</span>}
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

function AtAGlance({ recording }: { readonly recording: ReportedRecording }) {
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
    ['carry', filterInShort(filter)],
  ];
  return <Glance lines={lines} />;
}

/** More would only repeat themselves. */
const mostPictures = 12;

interface SequenceEntryProps {
  readonly sequence: ReportedSequence;
  /** Its place in the document, from 0. */
  readonly index: number;
  readonly recordings: readonly PageRecording[];
}

/** A group of stills: its pictures in a row, and what is to be said of the whole. */
export function SequenceEntry({ sequence, index, recordings }: SequenceEntryProps) {
  const { kind, paths, stepsStops, filter, findings } = sequence;
  const pictures = paths.slice(0, mostPictures).flatMap((path, at) => {
    const pictured = recordings.find(({ recording }) => recording.path === path)?.pictures;
    const picture = pictured && middlePicture(pictured);
    return picture === undefined ? [] : [{ picture, step: stepsStops?.[at] }];
  });
  const verdict = verdictText(findings);
  const flagged = isFlagged(sequence);
  return (
    <details class="entry series" id={seriesId(index)} open={flagged} {...seriesScriptData(sequence, index)}>
      <summary>
        <h3>
          <PathName path={paths[0] ?? ''} /> to {fileName(paths.at(-1) ?? '')}
        </h3>
        <span class="for">{paths.length}</span>
        <span class={flagged ? 'verdict flagged' : 'verdict'}>
          {capital(sequenceNames[kind].singular)}: {verdict.charAt(0).toLowerCase() + verdict.slice(1)}
        </span>
      </summary>
      <div class="body">
        <Glance lines={sequenceLines[kind](sequence)} />
        <div>
          {sequence.takenAs !== undefined && <p class="note">{sequence.takenAs}</p>}
          {pictures.length > 0 && (
            <ul class="members">
              {pictures.map(({ picture, step }) => (
                <li>
                  <Picture picture={picture} />
                  {step !== undefined && <span>{formatStops(step)}</span>}
                </li>
              ))}
            </ul>
          )}
          <div class="said">
            <Sentences findings={findings} filter={filter} />
          </div>
        </div>
      </div>
    </details>
  );
}

function bracketLines({ paths, stepsStops, spanStops }: ReportedSequence): Lines {
  return [
    ['frames', String(paths.length)],
    ['steps', stepsStops?.map(formatStops).join(' ')],
    ['span', given(spanStops, stopsInWords)],
  ];
}

function intervalLines(sequence: ReportedSequence): Lines {
  const { paths, intervalSeconds, exposureSeconds, angleDegrees, targetSeconds, missingFrames } = sequence;
  const { playback, filter } = sequence;
  const [play] = playback ?? [];
  return [
    ['frames', `${paths.length}${missingFrames ? `, ${missingFrames} missing` : ''}`],
    ['one every', given(intervalSeconds, formatDuration)],
    ['exposed', given(exposureSeconds, formatExposure)],
    ['wanted', given(targetSeconds, formatExposure)],
    ['angle', given(angleDegrees, formatAngle)],
    ['plays', play && `${formatDuration(play.seconds)} at ${formatRate(play.framesPerSecond)} fps`],
    ['fitted', filter?.fitted?.label],
    ['carry', filterInShort(filter)],
  ];
}

function mappingLines(sequence: ReportedSequence): Lines {
  const { paths, stepMetres, heightMetres, speedMetresPerSecond, exposureSeconds, blurPixels } = sequence;
  return [
    ['pictures', String(paths.length)],
    ['one every', given(stepMetres, formatMetres)],
    ['height', given(heightMetres, formatMetres)],
    ['speed', given(speedMetresPerSecond, (speed) => `${speed.toFixed(1)} m/s`)],
    ['exposed', given(exposureSeconds, formatExposure)],
    ['blur', given(blurPixels, pixelsInWords)],
  ];
}

const sequenceLines: Readonly<Record<ReportedSequence['kind'], (sequence: ReportedSequence) => Lines>> = {
  bracket: bracketLines,
  interval: intervalLines,
  mapping: mappingLines,
  burst: ({ paths }) => [['pictures', String(paths.length)]],
  panorama: ({ paths, turnDegrees }) => [
    ['pictures', String(paths.length)],
    ['turned', given(turnDegrees, (degrees) => `${Math.round(degrees)}°`)],
  ],
};

function given(value: number | undefined, format: (value: number) => string): string | undefined {
  return value === undefined ? undefined : format(value);
}

interface SentencesProps {
  readonly findings: readonly ReportedFinding[];
  readonly filter: ReportedFilter | undefined;
  /** What can be used of it, where something is known of that. */
  readonly usable?: string;
  /** Says a sentence in the notation of the clip. */
  readonly inClip?: (text: string) => string;
}

/** What was found, then what to do in the edit and next time. */
function Sentences({ findings, filter, usable, inClip = (text) => text }: SentencesProps) {
  const inTheEdit = [usable, ...findings.map((finding) => finding.inTheEdit)].map(
    (text) => text && inClip(text),
  );
  const [first, ...others] = filter?.otherwise ?? [];
  // Findings that share an advice quote it alike.
  const remedies = new Set(findings.map(({ nextTime: each }) => each));
  const nextTime = [...remedies, filter && filterText(filter), first];
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

type Lines = readonly (readonly [label: string, value: string | undefined])[];

/** Few values in two columns; what is unknown is left out. */
function Glance({ lines }: { readonly lines: Lines }) {
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
