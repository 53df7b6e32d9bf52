import type { RecordingKind } from '../domain/recording.ts';

export interface Sidecar {
  readonly type: 'srt' | 'xmp';
  /** For people, relative to the dump. */
  readonly path: string;
  readonly file: Buffer;
}

/** A clip or still in the dump, recognised by its name and by its first bytes. */
export interface DumpEntry {
  /** For people, relative to the dump. */
  readonly path: string;
  readonly file: Buffer;
  readonly kind: RecordingKind;
  readonly sizeBytes: number;
  readonly sidecars: readonly Sidecar[];
  readonly fingerprint?: string;
  /** Paths of copies, which are no entries of their own. */
  readonly copies?: readonly string[];
  /** Set where the dump holds a camera's own folders, and this lies outside them or under a name of another kind. */
  readonly isBesideCard?: true;
}
