import type { HostileCase } from '../../sample-media-generator/hostile/cases.ts';

export type Outcome = 'problem' | 'aside' | 'audited' | 'audited-with-refusals' | 'audited-and-problem';

/**
 * Where the generator leaves open what is honest, or sees it otherwise: what the audit makes of it, and why that is
 * right. The names are those of the generator's files, without their endings.
 */
const outcomes: Readonly<Record<Outcome, readonly (readonly [why: string, ...names: string[]])[]>> = {
  aside: [['links inside a folder are not followed', 'LINK0006']],
  problem: [
    [
      'no picture is found within the bounds of the walk',
      ...numbered('JPEG', 1, 3),
      'TIFF0003',
      'TIFF0005',
      'TIFF0006',
      'TIFF0007',
      'TIFF0011',
      'TIFF0012',
      'PNGS0010',
      ...numbered('HEIC', 1, 6),
      'WEBP0001',
      'WEBP0002',
    ],
    ['the index claims more than any recording holds', ...numbered('MOVS', 1, 5), 'MOVS0008', 'TRAN0001'],
    ['nothing behind the damage can be found', 'MOVS0011', 'MOVS0012', 'MOVS0013', 'MOVS0017'],
    ['there are no frames in it', 'MKVS0001', 'MKVS0002', 'AVIS0001', 'MXFS0001'],
    ['folders are walked to a depth of forty', 'TREE0002'],
  ],
  audited: [
    ['what is hostile lies where nothing is read', 'TIFF0001', 'TIFF0002', 'TIFF0004', 'TIFF0008'],
    ['compressed text and profiles are not unpacked', 'PNGS0001', 'PNGS0003'],
    ['the rest of the values stand', 'JPEG0020', 'JPEG0021', 'JPEG0025'],
    ['the picture ends early, which is a finding of its own', 'JPEG0023'],
    ['fragments after a whole movie are empty', 'MOVS0006'],
    ['text without telemetry is no track', 'CUES0005'],
  ],
  'audited-with-refusals': [
    ['values that cannot be are refused one by one', 'JPEG0016', 'JPEG0019', 'CUES0003', 'CUES0004'],
    ['only the first of several blocks is read', 'JPEG0026'],
    ['a block of zeros is no EXIF', 'JPEG0027'],
    ['XMP beyond the bounds is refused', 'TIFF0010', 'PNGS0002', 'PNGS0007', 'PNGS0008', 'MOVS0022'],
    ['XMP that is no XMP is refused', 'XMLS0009', 'XMLS0018', 'XMLE0006'],
    ['chunks beyond the bounds are not walked', 'PNGS0004'],
    ['the times of the frames give no rate', 'MOVS0010'],
  ],
  'audited-and-problem': [
    [
      'what is there was read, and what is wrong is said',
      'MOVS0007',
      ...numbered('MOVS', 18, 20),
      'MKVS0003',
    ],
  ],
};

/** What only decoding the picture brings to light. */
const whenMeasured: Readonly<Record<string, Outcome>> = {
  JPEG0012: 'audited-and-problem', // larger than a picture may be
  JPEG0022: 'audited-and-problem',
  TIFF0009: 'audited-and-problem',
  PNGS0005: 'audited-and-problem',
  PNGS0006: 'audited-and-problem',
  PNGS0009: 'audited-and-problem', // the pixels are missing
  MOVS0023: 'audited-and-problem',
};
const whenOnlyRead: Readonly<Record<string, Outcome>> = {
  JPEG0012: 'audited',
  JPEG0022: 'audited',
  TIFF0009: 'audited',
  PNGS0005: 'audited',
  PNGS0006: 'audited',
  PNGS0009: 'audited-with-refusals',
  MOVS0023: 'audited',
};

/** What must come of a case; undefined where nobody has settled it. */
export function settled(one: HostileCase, measure: 'off' | 'sampled'): Outcome | undefined {
  const name = one.name.replace(/\..*$/, '');
  const table = measure === 'off' ? whenOnlyRead : whenMeasured;
  const byMeasure = Object.hasOwn(table, name) ? table[name] : undefined;
  const [outcome] = (Object.entries(outcomes) as [Outcome, (typeof outcomes)[Outcome]][])
    .filter(([, groups]) => groups.some(([, ...names]) => names.includes(name)))
    .map(([found]) => found);
  return byMeasure ?? outcome ?? (one.expect === 'any' ? undefined : one.expect);
}

function numbered(prefix: string, first: number, last: number): string[] {
  return Array.from(
    { length: last - first + 1 },
    (_, at) => `${prefix}${String(first + at).padStart(4, '0')}`,
  );
}
