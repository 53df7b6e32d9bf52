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
import { isFlagged, ownFindings, weighsEnough } from '../arrangement.ts';
import { filterInShort, filterText } from '../filterWording.ts';
import { marksOf, usableText } from '../marks.ts';
import { pixelsInWords, sequenceNames } from '../sequenceWording.ts';
import { shownAngle, shownExposure } from '../settingsNotation.ts';
import { meaningId } from './methodSection.tsx';
import { BurntFrame, Picture, middlePicture } from './pagePictures.tsx';
import {
  scriptData,
  sectionId,
  verdictText,
  seriesScriptData,
  seriesId,
  type PageRecording,
} from './pageRecording.ts';
import { RecordingFacts } from './recordingFacts.tsx';
import { TimePlot } from './timePlot.tsx';

/** What is wrong with one recording, when, what can be done about it, and everything that is known of it. */
export function RecordingEntry({ entry, settings }: { entry: PageRecording; settings: ReportedSettings }) {
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
          {pictures?.burnt && recording.findings.some(isOfHighlights) && (
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
            <OpenPlot {...plot} />
          </>
        ) : (
          recording.kind === 'clip' && (
            <details>
              <summary>Frames and plots</summary>
              {strip}
              <TimePlot {...plot} />
            </details>
          )
        )}
        <RecordingFacts recording={recording} settings={settings} />
      </div>
    </article>
  );
}

/** A plot that is open where there is room: on a phone the script folds it, and then the sentences stand closer. */
function OpenPlot(props: Parameters<typeof TimePlot>[0]) {
  const plot = TimePlot(props);
  return (
    plot && (
      <details class="over-time" open>
        <summary>Over time</summary>
        {plot}
      </details>
    )
  );
}

/** A burnt frame is shown where something is said of it: a few white pixels are in most pictures. */
function isOfHighlights({ kind }: ReportedFinding): boolean {
  return findingTopic(kind) === 'highlights';
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
  return (
    <article class="entry series" id={seriesId(index)} tabindex={-1} {...seriesScriptData(sequence, index)}>
      <header>
        <h3>
          <PathName path={paths[0] ?? ''} />
        </h3>
        <p class="note">to {paths.at(-1)?.split('/').at(-1)}</p>
        <Glance lines={sequenceLines[kind](sequence)} />
      </header>
      <div class="body">
        <p class={findings.some(weighsEnough) ? 'verdict flagged' : 'verdict'}>
          {capital(sequenceNames[kind].singular)}: {verdict.charAt(0).toLowerCase() + verdict.slice(1)}
        </p>
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
    </article>
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
}

/** What was found, then what to do in the edit and next time. */
function Sentences({ findings, filter, usable }: SentencesProps) {
  const inTheEdit = [usable, ...findings.map((finding) => finding.inTheEdit)];
  const [first, ...others] = filter?.otherwise ?? [];
  // Findings that share an advice quote it alike.
  const remedies = new Set(findings.map(({ nextTime: each }) => each));
  const nextTime = [...remedies, filter && filterText(filter), first];
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
  return (
    <div class={weighsEnough(finding) ? undefined : 'remark'}>
      <dt>
        <a href={`#${meaningId(finding.kind)}`}>{capital(findingTopic(finding.kind))}</a>
      </dt>
      <dd>{finding.text}</dd>
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
