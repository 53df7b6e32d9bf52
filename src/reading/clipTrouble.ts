import { displayText } from '../domain/displayText.ts';
import type { Mp4Contents } from './containers/mp4.ts';
import type { ProbeResult } from './ffprobe.ts';
import type { Trouble } from './sighting.ts';

export const overloaded: Trouble = {
  message: 'says more about itself than can be read',
  hint: 'It may be damaged or made to do harm. Leave it out.',
};

export const noPicture: Trouble = {
  message: 'holds no moving picture',
  hint: 'Leave it out of the dump if it is a sound recording; otherwise copy it from the card again.',
};

const cutOffHint =
  'The recording was probably interrupted. Put the card back into the camera, which may finish the file when it ' +
  'starts; else copy it again, or rebuild it with a repair program and an intact clip of the same camera.';

/** Why nothing could be read of a clip. */
export function unreadable(result: ProbeResult, boxes: Mp4Contents | undefined): Trouble {
  if (result.ended === 'time-out') {
    return {
      message: 'took too long to read and was given up',
      hint: 'It may be damaged. Copy it from the card again.',
    };
  }
  if (result.ended === 'output-limit' || /exceeds max_streams/.test(result.stderr)) return overloaded;
  if ((boxes !== undefined && boxes.moov === undefined) || /moov atom not found/.test(result.stderr)) {
    return {
      message: 'was cut off: its index is missing, so no frame can be found',
      hint: cutOffHint,
    };
  }
  if (result.ended === 'crash') {
    return {
      message: 'made ffprobe stop with a fault',
      hint: 'Copy it from the card again, or install a newer ffmpeg.',
    };
  }
  return {
    message: 'could not be read as a video',
    hint: 'It may be damaged. Copy it from the card again.',
    ...inItsWords(result.stderr),
  };
}

/** A clip that was read although something is missing. */
export function readInPart(result: ProbeResult, missingBytes: number | undefined): Trouble | undefined {
  if (missingBytes !== undefined) {
    return {
      message: 'was cut off: its end is missing',
      hint: 'Copy it from the card again. What is there was read.',
      detail: `${missingBytes} bytes are missing`,
    };
  }
  const said = inItsWords(result.stderr);
  if (said === undefined && result.exitCode === 0) return undefined;
  return {
    message: 'was read only in part',
    hint: 'Copy it from the card again. What could be read was read.',
    ...(said ?? { detail: `ffprobe: exit status ${result.exitCode}` }),
  };
}

/** Nothing where it said nothing. */
function inItsWords(stderr: string): { readonly detail: string } | undefined {
  const says = firstLine(stderr);
  return says === '' ? undefined : { detail: `ffprobe: ${says}` };
}

function firstLine(stderr: string): string {
  const line = stderr.split('\n').find((one) => one.trim() !== '') ?? '';
  // Names and addresses inside the program mean nothing to the person.
  const plain = line.replace(/^(?:\[[^\]]*\]\s*)+/, '').replaceAll(/file:\/proc\/self\/fd\/3(?:: )?/g, '');
  return displayText(plain.trim().slice(0, 200));
}
