import picocolors from 'picocolors';

// Characters that a terminal draws two cells wide (Unicode Standard Annex 11, "W" and "F": the blocks that matter).
const wide =
  /[\u1100-\u115f\u2329\u232a\u2e80-\u303e\u3041-\u33ff\u3400-\u4dbf\u4e00-\u9fff\ua000-\ua4cf\ua960-\ua97f\uac00-\ud7a3\uf900-\ufaff\ufe10-\ufe19\ufe30-\ufe6f\uff00-\uff60\uffe0-\uffe6]|[\u{1b000}-\u{1b2ff}\u{1f300}-\u{1faff}\u{20000}-\u{3fffd}]|\p{Emoji_Presentation}/u;
const combining = /^[\u0300-\u036f]$/;
// oxlint-disable-next-line no-control-regex
const colours = /\u001b\[[0-9;]*m/g;

/**
 * Cells that a text takes in a terminal, colours not counted.
 * @example textWidth('CLIP') // 4
 */
export function textWidth(text: string): number {
  let width = 0;
  for (const character of text.replace(colours, '')) {
    if (!combining.test(character)) width += wide.test(character) ? 2 : 1;
  }
  return width;
}

/**
 * The text with its middle left out where it is wider than `columns`; the end of a path tells more than its start.
 * @example shortenMiddle('DCIM/100_AERO/CLIP0003.MP4', 17) // 'DCIM/…LIP0003.MP4'
 */
export function shortenMiddle(text: string, columns: number): string {
  if (textWidth(text) <= columns) return text;
  const endColumns = Math.ceil(((columns - 1) * 2) / 3);
  const end = fitting(Array.from(text).toReversed(), endColumns).toReversed();
  const start = fitting(Array.from(text), columns - 1 - textWidth(end.join('')));
  return `${start.join('')}…${end.join('')}`;
}

/** Where a line may end: not between a number and its unit. */
const lineEnds = /(?<!\d) | (?!(?:s|fps|px|stops?)(?![a-z]))/;

/** Beyond this a sentence is hard to follow from line to line (common practice, no source). */
const widestText = 100;

/** A paragraph in lines that are easy to follow, every one indented; a word that is wider than a line is broken. */
export function paragraphLines(
  text: string,
  { columns }: { readonly columns: number },
  indent = 0,
): readonly string[] {
  const room = Math.max(Math.min(columns, widestText) - indent, 1);
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(lineEnds).flatMap((each) => brokenWord(each, room))) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (textWidth(longer) <= room) line = longer;
    else {
      lines.push(line);
      line = word;
    }
  }
  return [...lines, line].map((each) => ' '.repeat(indent) + each);
}

function brokenWord(word: string, room: number): readonly string[] {
  const parts: string[] = [];
  let left = Array.from(word);
  while (textWidth(left.join('')) > room) {
    const length = Math.max(fitting(left, room).length, 1);
    parts.push(left.slice(0, length).join(''));
    left = left.slice(length);
  }
  return [...parts, left.join('')];
}

function fitting(characters: readonly string[], columns: number): string[] {
  let width = 0;
  const end = characters.findIndex((character) => (width += textWidth(character)) > columns);
  return characters.slice(0, end === -1 ? characters.length : end);
}

/** What lines are written on. Colour only underlines what words and marks say; switched off, nothing is lost. */
export interface Sheet {
  readonly columns: number;
  readonly palette: ReturnType<typeof picocolors.createColors>;
}

const narrowest = 40;

export function sheetFor({ columns, colour }: { readonly columns: number; readonly colour: boolean }): Sheet {
  return { columns: Math.max(columns, narrowest), palette: picocolors.createColors(colour) };
}
