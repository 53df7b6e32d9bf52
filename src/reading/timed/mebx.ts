import type { Refusal, TrackSample } from '../../domain/recording.ts';
import { bytesSource } from '../../containers/byteSource.ts';
import { childBoxes, firstOfType, isoBoxes } from '../../containers/isoBoxes.ts';
import { wellKnownValue } from '../../containers/mp4.ts';
import type { JudgedNumbers } from '../recordedNumber.ts';
import { emptyReading, type Reading } from '../sighting.ts';
import { valueReader, type TelemetryContext } from '../telemetryPairs.ts';
import { keepRefusals, trackReading, type TimedBytes } from './trackReading.ts';

// QuickTime File Format Specification, "Timed Metadata Media". The sample entry holds a table of keys: a box for each,
// whose type is the key's local number, with its name (keyd) and the type of its values (dtyp). A sample is a row of
// boxes whose types are those numbers; a sample of no bytes says that nothing is known for its time.

interface Key {
  readonly type: number;
  readonly read: NonNullable<ReturnType<typeof valueReader>>;
}

/** Keys of the table that can become facts, by local number (four characters). `entry` is the sample entry's body. */
export function mebxKeys(entry: Buffer): ReadonlyMap<string, Key> {
  const source = bytesSource(entry);
  const table = firstOfType(isoBoxes(source, 0, entry.length, 16), 'keys');
  const keys = new Map<string, Key>();
  for (const declaration of childBoxes(source, table)) {
    const parts = childBoxes(source, declaration);
    const body = (type: string): Buffer | undefined => {
      const box = firstOfType(parts, type);
      return box && entry.subarray(box.bodyStart, box.end);
    };
    const [name, dataType] = [body('keyd'), body('dtyp')];
    // Namespace 0 of a data type means the well-known ones; other types are a maker's own.
    if (name === undefined || name.length < 5 || dataType?.length !== 8 || dataType.readUInt32BE(0) !== 0)
      continue;
    const read = valueReader(name.toString('latin1', 4, 260));
    if (read !== undefined) keys.set(declaration.type, { type: dataType.readUInt32BE(4), read });
  }
  return keys;
}

export function parseMebx(entry: Buffer, samples: Iterable<TimedBytes>, context: TelemetryContext): Reading {
  const keys = mebxKeys(entry);
  if (keys.size === 0) return emptyReading;
  const refusals: Refusal[] = [];
  const rows: TrackSample[] = [];
  for (const { startSeconds, endSeconds, bytes } of samples) {
    const row = rowFacts(bytes, keys, context);
    keepRefusals(refusals, row.refusals);
    if (Object.keys(row.facts).length > 0) rows.push({ startSeconds, endSeconds, ...row.facts });
  }
  return trackReading(rows, refusals, context);
}

const maxValues = 64;

function rowFacts(bytes: Buffer, keys: ReadonlyMap<string, Key>, context: TelemetryContext): JudgedNumbers {
  let facts: JudgedNumbers['facts'] = {};
  const refusals: Refusal[] = [];
  for (const box of isoBoxes(bytesSource(bytes), 0, bytes.length, maxValues)) {
    const key = keys.get(box.type);
    const value = key && wellKnownValue(key.type, bytes.subarray(box.bodyStart, box.end));
    if (key === undefined || value === undefined) continue;
    const read = key.read(value, context);
    facts = { ...read.facts, ...facts };
    refusals.push(...read.refusals);
  }
  return { facts, refusals };
}
