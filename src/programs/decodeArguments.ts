import ffmpeg from 'fluent-ffmpeg';
import { mostPicturePixels, type Program } from './run.ts';

// fluent-ffmpeg composes the command; it does not run it. Its repository is archived, and its own runner ends a
// child with SIGTERM, which an ffmpeg that is stuck in open() survives. So only its argument list is taken
// (`_getArguments`, stable in the last version there will be), and run.ts starts the program within limits.
// Nothing else imports it: to replace it, write the same list here by hand.

/** Pictures of one stream, as they are written to one place. */
export interface PictureOutput {
  /** ffmpeg filter descriptions, applied in order. */
  readonly filters: readonly string[];
  /** Stop after this many frames. */
  readonly frames?: number;
  readonly pixelFormat: string;
}

interface DecodeRequest extends PictureOutput {
  /** From mediaArgument(), or `pipe:0`. */
  readonly input: string;
  /** Extra options that go before the input, such as `['-skip_frame', 'nokey']`. */
  readonly inputOptions: readonly string[];
  /** What ffmpeg may say on standard error. */
  readonly logLevel: string;
  readonly program: Program;
  /** Seek before decoding: to the frame shown at this time. */
  readonly startSeconds?: number;
  /** The same pictures once more in another form, written to descriptor 4. */
  readonly secondOutput?: PictureOutput;
}

/** The arguments that make ffmpeg write raw frames of the first moving picture to its standard output. */
export function decodeArguments(request: DecodeRequest): string[] {
  const command = ffmpeg().input(request.input).inputOptions(inputOptions(request));
  if (request.startSeconds !== undefined) command.seekInput(request.startSeconds);
  addOutput(command, 'pipe:1', request, request.program);
  if (request.secondOutput !== undefined) addOutput(command, 'pipe:4', request.secondOutput, request.program);
  return (command as unknown as { _getArguments(): (string | number)[] })._getArguments().map(String);
}

function inputOptions({ input, logLevel, inputOptions: more }: DecodeRequest): string[] {
  return [
    '-hide_banner',
    '-nostdin',
    '-v',
    logLevel,
    '-protocol_whitelist',
    input === 'pipe:0' ? 'pipe' : 'file,pipe',
    '-max_pixels',
    String(mostPicturePixels),
    '-threads',
    '1',
    ...more,
  ];
}

function addOutput(
  command: ffmpeg.FfmpegCommand,
  pipe: string,
  { filters, frames, pixelFormat }: PictureOutput,
  program: Program,
): void {
  command.output(pipe).outputOptions(outputOptions(pixelFormat, program)).format('rawvideo');
  if (filters.length > 0) command.videoFilters([...filters]);
  if (frames !== undefined) command.frames(frames);
}

function outputOptions(pixelFormat: string, program: Program): string[] {
  // Frames as they were recorded, none doubled or dropped. The option was renamed in 5.1 (libavcodec 59) and the
  // old name is on its way out.
  const passthrough = (program.libavcodecMajor ?? 0) >= 60 ? '-fps_mode' : '-vsync';
  // Capital V: a cover picture is not the recording.
  // A picture is written at once; through its buffer ffmpeg writes it in pieces of 32 kB.
  const unbuffered = ['-avioflags', 'direct'];
  return ['-map', '0:V:0', passthrough, 'passthrough', '-pix_fmt', pixelFormat, ...unbuffered];
}
