import type { ReportedSettings } from '../../document/auditDocument.ts';
import { capital } from '../../domain/format.ts';
import { fileName, firstFew, isFlagged } from '../arrangement.ts';
import { useMeanings, useNames, uses } from '../recordingUse.ts';
import { PathName } from './glance.tsx';
import { middlePicture, Picture } from './pagePictures.tsx';
import {
  findingsTitle,
  hasEntry,
  isVisiblyFaulty,
  scriptData,
  sectionId,
  seriesId,
  type PageProps,
  type PageRecording,
} from './pageRecording.ts';
import { marksOf } from '../marks.ts';
import { UseBar } from './useBar.tsx';

/** So many pictures of a group stand on the first screen; the others wait until they are asked for. */
const picturesShown = 6;
const namesShown = 3;

const barMeanings =
  'The bar is the clip from start to end: solid can be used, upright ticks stutter or smear, slanted stripes are burnt.';

/** Every recording in pictures, by what it is for: to use, to trim, to leave. One stands for a whole series. */
export function UseGroups({ document, recordings }: PageProps) {
  const groups = [...uses, undefined].map((use) => ({
    use,
    members: recordings.filter((each) => each.use === use),
  }));
  const hasBars = recordings.some(({ recording }) => marksOf(recording, document.settings).length > 0);
  return (
    <>
      <div class="uses">
        {groups.map(({ use, members }) => {
          if (members.length === 0) return null;
          const id = use ?? 'unmeasured';
          const tiles = members.filter(({ repeats }) => !repeats);
          const [first, others] = [tiles.slice(0, picturesShown), tiles.slice(picturesShown)];
          return (
            <section class={`group ${id}`} aria-labelledby={`to-${id}`}>
              <h2 id={`to-${id}`}>
                {use === undefined ? 'Not measured' : capital(useNames[use])} {members.length}
              </h2>
              <p class="note">{use === undefined ? 'nobody looked at the picture' : useMeanings[use]}</p>
              <Sheet tiles={first} settings={document.settings} />
              {others.length > 0 && (
                <details>
                  <summary>{`And ${firstFew(
                    others.map(({ recording }) => fileName(recording.path)),
                    namesShown,
                  )}`}</summary>
                  <Sheet tiles={others} settings={document.settings} />
                </details>
              )}
            </section>
          );
        })}
      </div>
      {hasBars && <p class="note">{barMeanings}</p>}
    </>
  );
}

interface SheetProps {
  readonly tiles: readonly PageRecording[];
  readonly settings: ReportedSettings;
}

function Sheet({ tiles, settings }: SheetProps) {
  return (
    <ul class="sheet" data-list="">
      {tiles.map((tile) => (
        <Tile tile={tile} settings={settings} />
      ))}
    </ul>
  );
}

function Tile({ tile, settings }: { readonly tile: PageRecording; readonly settings: ReportedSettings }) {
  const { recording, pictures, partOf } = tile;
  const picture = pictures && middlePicture(pictures);
  const entry = entryOf(tile);
  const series = partOf !== undefined && !isFlagged(recording) ? partOf : undefined;
  const ofSeries = series !== undefined && isFlagged(series) ? series : undefined;
  const inside = (
    <>
      {picture !== undefined && <Picture picture={picture} />}
      <UseBar recording={recording} settings={settings} />
      <span class="name">
        <PathName path={recording.path} />
      </span>
      {series !== undefined && (
        <span class="what">
          {series.text}: {series.range}
        </span>
      )}
      <span class={isVisiblyFaulty(tile) ? 'what alert' : 'what'}>
        {isFlagged(ofSeries ?? recording) && findingsTitle(ofSeries ?? recording)}
      </span>
    </>
  );
  return (
    <li {...scriptData(tile, partOf?.findings)}>
      {entry === undefined ? <div>{inside}</div> : <a href={`#${entry}`}>{inside}</a>}
    </li>
  );
}

/** Where more is said of it: its own entry, or that of the series that it is a part of. */
function entryOf({ recording, index, partOf }: PageRecording): string | undefined {
  if (hasEntry(recording)) return sectionId(index);
  return partOf && seriesId(partOf.index);
}
