export type ProgramName = 'ffprobe' | 'ffmpeg';

/** A build of ffprobe or ffmpeg that can be started. */
export interface Program {
  readonly name: ProgramName;
  readonly path: string;
  /** Hex digits that another build does not share: of all that the program says of itself and its libraries. */
  readonly build?: string;
  /** As the program says it: "5.1.9", or a snapshot's name. */
  readonly version: string;
  readonly origin: 'system' | 'bundled';
  /** Major version of libavcodec, the only number that orders release and snapshot builds alike. */
  readonly libavcodecMajor?: number;
}
