import type { BurntPicture, SmallPicture } from '../../domain/pictures.ts';
import { isFlagged } from '../arrangement.ts';
import { dataUrl, middlePicture } from './pagePictures.ts';
import { PathName } from './pathName.tsx';
import {
  hasEntry,
  inFewWords,
  listed,
  sectionId,
  type PageProps,
  type PageRecording,
} from './pageRecording.ts';

/** One small picture of every recording, with its name and what is wrong with it; one for a whole interval series. */
export function ContactSheet({ recordings, later }: Pick<PageProps, 'recordings' | 'later'>) {
  if (recordings.every(({ pictures }) => pictures === undefined)) return null;
  return (
    <section aria-labelledby="contact-sheet">
      <h2 id="contact-sheet">Contact sheet</h2>
      <ul class="sheet" data-list="">
        {later(
          recordings.filter(({ repeats }) => !repeats),
          (each) => (
            <Tile {...each} />
          ),
        )}
      </ul>
    </section>
  );
}

function Tile(each: PageRecording) {
  const { recording, pictures, partOf } = each;
  const picture = pictures && middlePicture(pictures);
  const flagged = isFlagged(recording);
  const inside = (
    <>
      {picture === undefined ? <span class="blank">no picture</span> : <Picture picture={picture} alt="" />}
      <span class={flagged ? 'name flagged' : 'name'}>
        <PathName path={recording.path} />
      </span>
      <span class="what">{inFewWords(recording) ?? partOf ?? 'nothing found'}</span>
    </>
  );
  return (
    <li {...listed(recording)}>
      {hasEntry(recording) ? <a href={`#${sectionId(recording.index)}`}>{inside}</a> : <div>{inside}</div>}
    </li>
  );
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
