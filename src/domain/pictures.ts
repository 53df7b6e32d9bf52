/*
 * Small pictures of what was measured, for the page only. They stand beside the audit document and are never part of
 * it: a document stays small, and a report can be written again without them.
 */

/** One frame, small enough to be shown in a page. */
export interface SmallPicture {
  /** Presentation time from the first frame; 0 for a still. */
  readonly atSeconds: number;
  readonly width: number;
  readonly height: number;
  readonly type: 'image/webp';
  /** Of `bytes`, known without asking for them; of a burnt picture together with its stripes. */
  readonly sizeBytes: number;
  readonly bytes: Uint8Array;
}

/** The frame that clips most, and a picture of the same size that is striped where it clips and clear elsewhere. */
export interface BurntPicture extends SmallPicture {
  readonly stripes: Uint8Array;
  readonly stripesType: 'image/png';
}

export interface RecordingPictures {
  /** The path of the recording in the audit document. */
  readonly path: string;
  /** In the order of time, evenly spread; one for a still. */
  readonly frames: readonly SmallPicture[];
  /** Absent where nothing clips. */
  readonly burnt?: BurntPicture;
}
