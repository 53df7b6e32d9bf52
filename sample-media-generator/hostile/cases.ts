// A trap always spells an exposure of 1/7 s: no recording here was made with it, and whoever reads it was misled.

/** What an audit of the file must come to; `any` where more than one outcome is honest, as long as it ends. */
export type Expected = 'problem' | 'aside' | 'audited' | 'audited-with-refusals' | 'any';

export type HostileKind = 'still' | 'clip' | 'sidecar' | 'tree';

export interface HostileCase {
  /** For print: everything that is not printable ASCII is escaped. */
  readonly name: string;
  /** Below the folder, as the file system keeps it; not always UTF-8. */
  readonly path: Buffer;
  readonly what: string;
  readonly kind: HostileKind;
  /** For a sidecar: what its recording must come to. */
  readonly expect: Expected;
  /** Nothing in the file is an exposure time: a reader that reports one has invented it. */
  readonly noExposure?: true;
  /** Recordings in good order whose facts must come out unharmed. */
  readonly truth?: { readonly exposureSeconds: number; readonly iso: number; readonly fNumber: number };
}

/** Recordings in good order that the cases are bent from. */
export interface Materials {
  readonly still: Buffer;
  /** The same picture without any metadata. */
  readonly bareStill: Buffer;
  /** H.264 in MP4 with `moov` last. */
  readonly clip: Buffer;
  readonly matroska: Buffer;
}

export interface HostileMaker extends Omit<HostileCase, 'name' | 'path'> {
  /** Below the folder; folders on the way are made. */
  readonly at: string | Buffer;
  readonly make: (path: Buffer, materials: Materials) => void;
}

/** A stretch of a file: bytes, or a hole of so many bytes that takes no room on disk. */
export type Stretch = Uint8Array | { readonly hole: number };
