import type { ClipPlan, StillPlan } from './plan.ts';
import type { RowSpan } from './land.ts';
import type { Rendered } from './renderClip.ts';

/** What the main thread asks of a worker. */
export type Task =
  | { readonly paint: RowSpan }
  | { readonly clip: ClipPlan; readonly output: string; readonly textTrack: string | undefined }
  | { readonly still: StillPlan; readonly output: string };

/** What was counted while the task was done. */
export type Outcome = Rendered | { readonly clippedFraction: number; readonly meanLight: number } | undefined;

export interface WorkerSetup {
  readonly ffmpeg: string;
  /** The scene's light, shared by all threads. */
  readonly light: SharedArrayBuffer;
}

export type Reply = { readonly outcome: Outcome } | { readonly failure: string };
