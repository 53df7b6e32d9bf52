import type { FittedFilter, KitFilter } from '../domain/filterKit.ts';
import type { ZoneOffsetAt } from '../domain/localTime.ts';
import type { Limits } from '../domain/limits.ts';
import type { RecordingPictures } from '../domain/measurement.ts';
import type { Recording, RecordingKind } from '../domain/recording.ts';
import type { StillSequence } from '../domain/sequence.ts';

export interface AuditProgress {
  readonly done: number;
  readonly total: number;
  /** The recording that was finished last. */
  readonly path: string;
  /** Of its picture, at the most; absent where that was not measured. */
  readonly clippedFraction?: number;
  /** Of all that is to be measured, by pixels and pictures, [0, 1]; absent until all of it is known. */
  readonly workFraction?: number;
}

/** What an audit with a `cacheFolder` took from it. */
export interface CacheUse {
  /** Recordings and other files that were unchanged since an earlier audit, and not looked at again. */
  readonly fromCache: number;
  readonly total: number;
  /** Why something could not be kept for the next audit, in the words of the system. */
  readonly trouble?: string;
}

export interface AuditOptions {
  readonly limits?: Limits;
  readonly kit?: readonly KitFilter[];
  /** The kit stands in for one that nobody named. */
  readonly kitAssumed?: boolean;
  /** The filter on the lens for the whole dump; flight notes stand back behind it. */
  readonly fitted?: FittedFilter;
  /** Flight notes; without it, flight.toml in the dump, <dump>.flight.toml or flight.toml beside it is used. */
  readonly notesFile?: string;
  /** Zone of clocks that recorded none; the notes' stands behind it, then `usualZone`, then this computer's. */
  readonly zone?: ZoneOffsetAt;
  readonly usualZone?: ZoneOffsetAt;
  readonly measure?: 'off' | 'sampled' | 'every';
  /** Leaves the other recordings of the dump alone. */
  readonly only?: RecordingKind;
  /** The group that a still belongs to where it is audited without the others: it is judged as in an audit of them all. */
  readonly memberOf?: StillSequence['kind'];
  /** Holds every recorded shutter against the motion blur too; it is always measured where none was recorded. */
  readonly checkShutter?: boolean;
  /** ISO 8601; the time of the call where absent. */
  readonly generatedAt?: string;
  /**
   * Folder in which what was read and measured is cached, so that a file that has not changed is not looked at again. It
   * need not exist, and may be deleted at any time. Nothing is cached where it is absent.
   */
  readonly cacheFolder?: string;
  /** Hears once, when every file was examined. */
  readonly onCacheUse?: (use: CacheUse) => void;
  /** Processes that read and measure, one file each at a time; as many as there are cores where absent. */
  readonly workers?: number;
  /** Hears once how many files there are, before any is read. */
  readonly onStart?: (files: { readonly clips: number; readonly stills: number }) => void;
  /** Hears of each recording what was read, long before its picture is measured. */
  readonly onRead?: (recording: Pick<Recording, 'path' | 'kind' | 'facts'>) => void;
  readonly onProgress?: (progress: AuditProgress) => void;
  /** Receives small pictures of each recording that was measured; without it none are made. */
  readonly onPictures?: (pictures: RecordingPictures) => void;
}
