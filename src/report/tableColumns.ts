import type { ReportedRecording } from '../document/reportedRecording.ts';
import { weighsEnough } from './arrangement.ts';
import { shownOffset, shownAngle, shownShutter } from './settingsNotation.ts';
import { filterInShort } from './filterWording.ts';
import { formatAngle, formatDuration, formatPercent, formatRate } from '../domain/format.ts';

import { shutterVerdict } from './verdict.ts';

export interface TableColumn {
  readonly head: string;
  readonly align: 'left' | 'right';
  /** The lowest rank leaves first where the table is narrow. */
  readonly rank: number;
  readonly cell: (recording: ReportedRecording) => string | undefined;
  readonly flagged?: (recording: ReportedRecording) => boolean;
}

/** What a table can say of a recording beside its name. */
export function tableColumns(targetAngleDegrees: number): readonly TableColumn[] {
  return [
    {
      head: 'length',
      align: 'right',
      rank: 1,
      cell: ({ facts }) => given(facts.durationSeconds?.value, formatDuration),
    },
    {
      head: 'fps',
      align: 'right',
      rank: 4,
      cell: ({ facts }) => given(facts.framesPerSecond?.value, formatRate),
    },
    {
      head: 'shutter',
      align: 'right',
      rank: 8,
      cell: shownShutter,
    },
    {
      head: 'angle',
      align: 'right',
      rank: 9,
      cell: shownAngle,
    },
    {
      head: `vs ${formatAngle(targetAngleDegrees)}`,
      align: 'left',
      rank: 7,
      cell: shutterVerdict,
      flagged: found('shutter-'),
    },
    {
      head: 'f/',
      align: 'right',
      rank: 0,
      cell: ({ facts }) => given(facts.fNumber?.value, (fNumber) => String(Number(fNumber.toFixed(1)))),
    },
    {
      head: 'ISO',
      align: 'right',
      rank: 3,
      cell: ({ facts }) => given(facts.iso?.value, (iso) => String(Math.round(iso))),
      flagged: found('iso-'),
    },
    {
      head: 'exposure',
      align: 'right',
      rank: 5,
      cell: shownOffset,
      flagged: found('too-'),
    },
    {
      head: 'clipped',
      align: 'right',
      rank: 6,
      cell: ({ picture }) => given(picture?.clippedFraction.max, formatPercent),
      flagged: found('highlights-'),
    },
    { head: 'fitted', align: 'left', rank: 2, cell: ({ filter }) => filter?.fitted?.label },
    { head: 'carry', align: 'left', rank: 10, cell: ({ filter }) => filterInShort(filter) },
  ];
}

/** The columns that say something of at least one of the recordings, which are looked at once at most. */
export function tellingColumns(
  columns: readonly TableColumn[],
  recordings: Iterable<ReportedRecording>,
): readonly TableColumn[] {
  let silent = columns;
  for (const recording of recordings) {
    silent = silent.filter(({ cell }) => cell(recording) === undefined);
    if (silent.length === 0) break;
  }
  return columns.filter((column) => !silent.includes(column));
}

function found(kindStart: string) {
  return ({ findings }: ReportedRecording) =>
    findings.some((finding) => weighsEnough(finding) && finding.kind.startsWith(kindStart));
}

function given<T>(value: T | undefined, format: (value: T) => string | undefined): string | undefined {
  return value === undefined ? undefined : format(value);
}
