import type { BurntPicture, SmallPicture } from '../../domain/pictures.ts';
import { isFlagged } from '../arrangement.ts';
import type { ReportedRecording } from '../../domain/reportedRecording.ts';
import { dataUrl, middlePicture } from './pagePictures.ts';
import { PathName } from './pathName.tsx';
import {
  hasEntry,
  inFewWords,
  listed,
  sectionId,
  seriesId,
  type PageProps,
  type PageRecording,
} from './pageRecording.ts';

/** One small picture of every recording, with its name and what is wrong with it; one for a whole interval series. */
export function ContactSheet({ recordings }: Pick<PageProps, 'recordings'>) {
  if (recordings.every(({ pictures }) => pictures === undefined)) return null;
  return (
    <section aria-labelledby="contact-sheet">
      <h2 id="contact-sheet">Contact sheet</h2>
      <ul class="sheet" data-list="">
        {recordings
          .filter(({ repeats }) => !repeats)
          .map((each) => (
            <Tile {...each} />
          ))}
      </ul>
    </section>
  );
}

function Tile(each: PageRecording) {
  const { recording, pictures, partOf } = each;
  const picture = pictures && middlePicture(pictures);
  const entry = entryOf(each);
  const ofWhole = partOf !== undefined && !isFlagged(recording) && isFlagged(partOf) ? partOf : undefined;
  const flagged = isFlagged(recording) || ofWhole !== undefined;
  const inside = (
    <>
      {picture === undefined ? <span class="blank">no picture</span> : <Picture picture={picture} alt="" />}
      <span class={flagged ? 'name flagged' : 'name'}>
        <PathName path={recording.path} />
      </span>
      <span class="what">{inFewWords(ofWhole ?? recording) ?? partOf?.text ?? nothingFound(recording)}</span>
    </>
  );
  return (
    <li {...listed(each, partOf?.findings)}>
      {entry === undefined ? <div>{inside}</div> : <a href={`#${entry}`}>{inside}</a>}
    </li>
  );
}

/** Nobody looked for clipping or motion in a picture that could not be decoded. */
function nothingFound({ picture }: ReportedRecording): string {
  return picture === undefined ? 'not measured' : 'nothing found';
}

/** Where more is said of it: its own entry, or that of the series that it is a part of. */
function entryOf({ recording, index, partOf }: PageRecording): string | undefined {
  if (hasEntry(recording)) return sectionId(index);
  return partOf && seriesId(partOf.index);
}

export function Picture({ picture, alt }: { readonly picture: SmallPicture; readonly alt: string }) {
  const { type, bytes, width, height } = picture;
  return <img src={dataUrl(type, bytes)} width={width} height={height} alt={alt} decoding="async" />;
}

/** The frame that clips most, striped where it does. */
export function BurntFrame({ burnt, caption }: { readonly burnt: BurntPicture; readonly caption: string }) {
  const { width, height, stripes, stripesType } = burnt;
  return (
    <figure class="burnt">
      <div>
        <Picture picture={burnt} alt="" />
        <img src={dataUrl(stripesType, stripes)} width={width} height={height} alt="" decoding="async" />
      </div>
      <figcaption>{caption}</figcaption>
    </figure>
  );
}
