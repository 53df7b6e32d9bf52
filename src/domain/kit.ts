/** A filter that the pilot owns. Strength is canonical in stops of light removed. */
export interface KitFilter {
  readonly label: string;
  readonly stops: number;
  /** The filter contains a polariser; its loss is already part of `stops`. */
  readonly polariser?: boolean;
}

/** A filter that sat on the lens, and who says so ("--fitted", "notes", "recorded by the camera"). */
export interface FittedFilter {
  readonly label: string;
  readonly stops: number;
  readonly source: string;
}
