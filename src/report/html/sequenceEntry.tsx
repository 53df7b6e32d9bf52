import type { ReportedSequence } from '../../document/auditDocument.ts';
import {
  capital,
  formatAngle,
  formatDuration,
  formatExposure,
  formatMetres,
  formatRate,
  formatStops,
  stopsInWords,
} from '../../domain/format.ts';
import { fileName, isFlagged } from '../arrangement.ts';
import { filterInShort, type Kit } from '../carryWording.ts';
import { pixelsInWords, sequenceNames } from '../sequenceWording.ts';
import { Glance, PathName, type Lines } from './glance.tsx';
import { middlePicture, Picture } from './pagePictures.tsx';
import { seriesId, seriesScriptData, verdictText, type PageRecording } from './pageRecording.ts';
import { Sentences } from './sentences.tsx';

/** More would only repeat themselves. */
const mostPictures = 12;

interface SequenceEntryProps {
  readonly sequence: ReportedSequence;
  /** Its place in the document, from 0. */
  readonly index: number;
  readonly recordings: readonly PageRecording[];
  readonly kit: Kit;
}

/** A group of stills: its pictures in a row, and what is to be said of the whole. */
export function SequenceEntry({ sequence, index, recordings, kit }: SequenceEntryProps) {
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
            <Sentences findings={findings} filter={filter} kit={kit} />
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
