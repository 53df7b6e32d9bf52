import { displayText } from '../../domain/displayText.ts';
import { formatEv } from '../../domain/format.ts';

interface NotesGroup {
  readonly reason: 'first' | 'pause' | 'brightness';
  readonly files: readonly string[];
  readonly from?: string;
  readonly to?: string;
  readonly sensorEv100?: number;
  readonly filter?: { readonly label: string; readonly probability: number };
}

interface NotesDraft {
  readonly place?: string;
  readonly latitude?: number;
  readonly longitude?: number;
  readonly sky?: string;
  readonly zone?: string;
  /** The times below are by the longitude. */
  readonly isZoneGuessed?: boolean;
  readonly groups: readonly NotesGroup[];
  /** Labels of the kit, to choose from. */
  readonly kit: readonly string[];
}

const reasons = {
  first: 'the first recordings',
  pause: 'after a pause long enough to swap',
  brightness: 'after a jump of the brightness',
} as const;

/**
 * What is less likely stays a comment until somebody takes the # away: notes are often taken over unread, and the logbook
 * learns from them; common practice, no source.
 */
const likelyEnough = 0.8;

/** Flight notes to confirm, in TOML. What is not known stands as a comment, so that the file is valid as it is. */
export function notesText({
  place,
  latitude,
  longitude,
  sky,
  zone,
  isZoneGuessed = false,
  groups,
  kit,
}: NotesDraft): string {
  const position =
    latitude === undefined || longitude === undefined
      ? ['# latitude = 0.0', '# longitude = 0.0']
      : [`latitude = ${float(latitude)}`, `longitude = ${float(longitude)}`];
  return [
    '# Proposed by halfturn note from what was recorded. Correct what is wrong; take away the # before what you fill in.',
    '',
    place === undefined ? '# place = ""' : `place = ${quoted(place)}`,
    ...position,
    sky === undefined ? '# sky = "clear"        # clear, haze, cloud or overcast' : `sky = ${quoted(sky)}`,
    zone === undefined
      ? '# zone = ""             # of clocks that recorded none, such as Europe/Berlin'
      : `zone = ${quoted(zone)}`,
    ...(isZoneGuessed
      ? [
          '# The times below are guessed from the longitude, without summer time: name the zone, or they may be an hour off.',
        ]
      : []),
    '',
    `# Filters: ${['none', ...kit].map(displayText).join(', ')}`,
    '# In place of files, or beside them: from = 10:30:00 and to = 11:15:00, by the clock at the place.',
    ...groups.flatMap(groupLines),
    '',
  ].join('\n');
}

function groupLines(group: NotesGroup): readonly string[] {
  const { reason, files, from, to, sensorEv100, filter } = group;
  const times = from === undefined ? '' : `, ${from}${to === undefined || to === from ? '' : ` to ${to}`}`;
  const light = sensorEv100 === undefined ? '' : `, EV ${formatEv(sensorEv100)} behind the filter`;
  const mark = filter === undefined || filter.probability < likelyEnough ? '# ' : '';
  const likely =
    filter === undefined
      ? ''
      : `  # ${mark === '' ? 'looks like it' : 'perhaps'}: ${Math.round(filter.probability * 100)}%, from light, time and place`;
  return [
    '',
    `# ${reasons[reason]}${times}${light}`,
    `${mark}[[fitted]]`,
    `${mark}filter = ${quoted(filter?.label ?? '')}${likely}`,
    `${mark}files = [${files.map(quoted).join(', ')}]`,
  ];
}

/** A TOML basic string takes the escapes of JSON. */
function quoted(text: string): string {
  return JSON.stringify(text).replaceAll('\u007f', '\\u007f');
}

function float(degrees: number): string {
  const text = String(Number(degrees.toFixed(6)));
  return text.includes('.') ? text : `${text}.0`;
}
