import type { Palette } from './palette.ts';
import { widestText, wrapText } from './textWidth.ts';

/** What lines are written on. */
export interface Sheet {
  readonly columns: number;
  readonly palette: Palette;
}

/** Columns before what belongs to a heading; the mark of a flagged recording stands there. */
export const margin = 3;

/** Where a label stands, and how much room it has. */
interface LabelPlace {
  readonly margin: number;
  readonly columns: number;
}

const topicPlace: LabelPlace = { margin, columns: 12 };
const summaryPlace: LabelPlace = { margin: 0, columns: 10 };

/** What is said under a heading, with its topic before it. */
export function topicLines(
  { topic, text }: { readonly topic: string; readonly text: string },
  sheet: Sheet,
): readonly string[] {
  return labelledLines(topic, text, topicPlace, sheet);
}

/** What is said of the whole, with its label before it. */
export function summaryLines(
  { label, text }: { readonly label: string; readonly text: string },
  sheet: Sheet,
): readonly string[] {
  return labelledLines(label, text, summaryPlace, sheet);
}

function labelledLines(label: string, text: string, place: LabelPlace, sheet: Sheet): readonly string[] {
  const indent = place.margin + place.columns;
  const [first = '', ...more] = paragraph(text, sheet, indent);
  const start = `${' '.repeat(place.margin)}${sheet.palette.dim(label.padEnd(place.columns))}`;
  return [`${start}${first.slice(indent)}`, ...more];
}

/** Lines under a title; nothing where there are none. */
export function list(title: string, lines: readonly string[], sheet: Sheet): string {
  const filled = lines.filter((line) => line !== '');
  if (filled.length === 0) return '';
  return [sheet.palette.bold(title), ...filled.flatMap((line) => paragraph(line, sheet, margin))].join('\n');
}

export function numbered(number: number, text: string, sheet: Sheet): readonly string[] {
  const [first = '', ...more] = paragraph(text, sheet, margin);
  return [`${String(number).padEnd(margin)}${first.slice(margin)}`, ...more];
}

/** A text in lines that are easy to follow. */
export function paragraph(text: string, { columns }: Sheet, indent = 0): readonly string[] {
  return wrapText(text, { columns: Math.min(columns, widestText), indent });
}
