import type { ReportedSequence } from '../../domain/report.ts';
import { sequenceText } from '../flight.ts';
import { formatStops } from '../format.ts';
import { Picture } from './contactSheet.tsx';
import { middlePicture } from './pagePictures.ts';
import type { PageRecording } from './pageRecording.ts';

/** More would only repeat themselves. */
const mostPictures = 12;

interface SequenceEntryProps {
  readonly sequence: ReportedSequence;
  readonly recordings: readonly PageRecording[];
}

/** A bracket or an interval series: its pictures in a row, and what is to be said of the whole. */
export function SequenceEntry({ sequence, recordings }: SequenceEntryProps) {
  const { kind, paths, stepsStops, findings } = sequence;
  const pictures = paths.slice(0, mostPictures).flatMap((path, at) => {
    const pictured = recordings.find(({ recording }) => recording.path === path)?.pictures;
    const picture = pictured && middlePicture(pictured);
    return picture === undefined ? [] : [{ picture, step: stepsStops?.[at] }];
  });
  const flagged = findings.some(({ weight }) => weight !== 'low');
  return (
    <article class="entry series">
      <header>
        <h3>{kind === 'bracket' ? 'Bracket' : 'Interval series'}</h3>
        <p class="note">
          {paths[0]} to {paths.at(-1)}
        </p>
      </header>
      <div class="body">
        <p class={flagged ? 'verdict flagged' : 'verdict'}>{sequenceText({ ...sequence, findings: [] })}</p>
        {pictures.length > 0 && (
          <ul class="members">
            {pictures.map(({ picture, step }) => (
              <li>
                <Picture picture={picture} alt="" />
                {step !== undefined && <span>{formatStops(step)}</span>}
              </li>
            ))}
          </ul>
        )}
        {findings.map(({ text, inTheEdit, nextTime }) => (
          <p>{[text, inTheEdit, nextTime].filter((part) => part !== undefined).join(' ')}</p>
        ))}
      </div>
    </article>
  );
}
