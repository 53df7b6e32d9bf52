import type { Problem, RecordingKind } from '../domain/recording.ts';
import { openMedia } from '../programs/openMedia.ts';
import { fileSource } from './containers/byteSource.ts';
import type { LeftAside } from './fileNames.ts';
import { fingerprint } from './fingerprint.ts';
import { openProblem } from './openProblem.ts';
import { sniff, sniffedBytes, type Sniffed } from './sniff.ts';
import { displayPath, type WalkedFile } from './walk.ts';

interface Recognised {
  readonly sizeBytes: number;
  readonly fingerprint: string;
}

export type Look = Recognised | { readonly leftAside: LeftAside } | Problem;

/** Opens a file that its name makes a clip or still, and looks whether its first bytes agree. */
export async function looksLike(walked: WalkedFile, named: RecordingKind): Promise<Look> {
  const path = displayPath(walked.names);
  if (walked.what === 'link') return linkProblem(path);
  try {
    const media = await openMedia(walked.file);
    try {
      const source = fileSource(media);
      const found = sniff(source.read(0, sniffedBytes));
      if (found === named) return { sizeBytes: media.sizeBytes, fingerprint: fingerprint(source) };
      // ".ts" is also how the files of a programming language are called.
      if (found === 'text' && path.toLowerCase().endsWith('.ts')) return { leftAside: 'other' };
      return mismatch(path, named, found);
    } finally {
      await media.close();
    }
  } catch (error) {
    return openProblem(path, walked.file, error);
  }
}

function mismatch(path: string, named: RecordingKind, found: Sniffed): Problem {
  if (found === 'empty') {
    return {
      path,
      message: 'is empty',
      hint: 'The recording was never written. Nothing in it can be saved.',
    };
  }
  const message = `is not a ${named === 'clip' ? 'video' : 'picture'} although its name says so`;
  return { path, message, hint: hints[found] };
}

const hints: Readonly<Record<Exclude<Sniffed, 'empty'>, string>> = {
  clip: 'It holds a video: give it the ending of one, such as .mp4.',
  still: 'It holds a picture: give it the ending of one, such as .jpg.',
  playlist:
    'It is a list that points to other files, and such lists are not followed. Leave it out of the dump.',
  text: 'It holds text. Leave it out of the dump.',
  unknown: 'Its first bytes are those of no known format. Copy it from the card again.',
};

function linkProblem(path: string): Problem {
  return {
    path,
    message: 'is a link, and links are not followed',
    hint: 'Copy the file itself into the dump.',
  };
}
