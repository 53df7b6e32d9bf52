import type { ReportedRecording, ReportedSettings } from '../../domain/report.ts';
import { isFlagged } from '../arrangement.ts';
import { filterInShort } from '../filterWording.ts';
import { formatDuration, formatPercent, formatRate } from '../format.ts';
import { marksOf, usableText } from '../marks.ts';
import { shownAngle, shownExposure } from '../shutterNotation.ts';
import { BurntFrame, Picture } from './contactSheet.tsx';
import { PathName } from './pathName.tsx';
import { Glance } from './glance.tsx';
import { Sentences } from './sentences.tsx';
import { listed, sectionId, type PageRecording, verdictText } from './pageRecording.ts';
import { RecordingFacts } from './recordingFacts.tsx';
import { TimePlot } from './timePlot.tsx';

interface EntryProps {
  readonly entry: PageRecording;
  readonly settings: ReportedSettings;
}

/** What is wrong with one recording, when, what can be done about it, and everything that is known of it. */
export function RecordingEntry({ entry, settings }: EntryProps) {
  const { recording, index, pictures } = entry;
  const marks = marksOf(recording, settings);
  const frames = pictures?.frames ?? [];
  return (
    <article
      class="entry"
      id={sectionId(index)}
      tabindex={-1}
      aria-labelledby={`${sectionId(index)}-name`}
      {...listed(entry)}
    >
      <header>
        <h3 id={`${sectionId(index)}-name`}>
          <PathName path={recording.path} />
        </h3>
        <AtAGlance recording={recording} />
      </header>
      <div class="body">
        <p class={isFlagged(recording) ? 'verdict flagged' : 'verdict'}>{verdictText(recording.findings)}</p>
        <div class="said">
          {pictures?.burnt && (
            <BurntFrame burnt={pictures.burnt} caption={burntCaption(recording, pictures.burnt.atSeconds)} />
          )}
          <Sentences
            findings={recording.findings}
            filter={recording.filter}
            usable={usableText(recording, marks)}
          />
        </div>
        {frames.length > 1 && (
          <div class="strip" role="img" aria-label={stripLabel(frames.map(({ atSeconds }) => atSeconds))}>
            {frames.map((picture) => (
              <Picture picture={picture} alt="" />
            ))}
          </div>
        )}
        <TimePlot recording={recording} settings={settings} marks={marks} />
        <RecordingFacts recording={recording} settings={settings} />
      </div>
    </article>
  );
}

function stripLabel(times: readonly number[]): string {
  return `${times.length} frames, from ${formatDuration(times[0] ?? 0)} to ${formatDuration(times.at(-1) ?? 0)}`;
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
    ['aperture', fNumber && `f/${Number(fNumber.value.toFixed(1))}`],
    ['fitted', filter?.fitted?.label],
    ['carry', filterInShort(filter)],
  ];
  return <Glance lines={lines} />;
}
