import type { ReportedSequence } from '../../document/auditDocument.ts';
import {
  formatAngle,
  formatDuration,
  formatExposure,
  formatRate,
  formatStops,
  stopsInWords,
} from '../../domain/format.ts';
import { weighsEnough } from '../arrangement.ts';
import { filterInShort } from '../filterWording.ts';
import { Glance, PathName, Sentences } from './entryParts.tsx';
import { Picture, middlePicture } from './pagePictures.tsx';
import { seriesScriptData, seriesId, verdictText, type PageRecording } from './pageRecording.ts';

/** More would only repeat themselves. */
const mostPictures = 12;

interface SequenceEntryProps {
  readonly sequence: ReportedSequence;
  /** Its place in the document, from 0. */
  readonly index: number;
  readonly recordings: readonly PageRecording[];
}

/** A bracket or an interval series: its pictures in a row, and what is to be said of the whole. */
export function SequenceEntry({ sequence, index, recordings }: SequenceEntryProps) {
  const { kind, paths, stepsStops, filter, findings } = sequence;
  const pictures = paths.slice(0, mostPictures).flatMap((path, at) => {
    const pictured = recordings.find(({ recording }) => recording.path === path)?.pictures;
    const picture = pictured && middlePicture(pictured);
    return picture === undefined ? [] : [{ picture, step: stepsStops?.[at] }];
  });
  return (
    <article class="entry series" id={seriesId(index)} tabindex={-1} {...seriesScriptData(sequence, index)}>
      <header>
        <h3>
          <PathName path={paths[0] ?? ''} />
        </h3>
        <p class="note">to {paths.at(-1)?.split('/').at(-1)}</p>
        <Glance lines={kind === 'bracket' ? bracketLines(sequence) : intervalLines(sequence)} />
      </header>
      <div class="body">
        <p class={findings.some(weighsEnough) ? 'verdict flagged' : 'verdict'}>
          {kind === 'bracket' ? 'Bracket' : 'Interval series'}: {lowerCase(verdictText(findings))}
        </p>
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

function bracketLines({ paths, stepsStops, spanStops }: ReportedSequence) {
  return [
    ['frames', String(paths.length)],
    ['steps', stepsStops?.map(formatStops).join(' ')],
    ['span', spanStops === undefined ? undefined : stopsInWords(spanStops)],
  ] as const;
}

function intervalLines(sequence: ReportedSequence) {
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
  ] as const;
}

function given(value: number | undefined, format: (value: number) => string): string | undefined {
  return value === undefined ? undefined : format(value);
}

function lowerCase(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1);
}
