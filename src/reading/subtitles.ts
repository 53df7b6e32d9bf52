import type { OpenMedia } from '../programs/openMedia.ts';
import type { Program } from '../programs/program.ts';
import { mediaArgument, runProgram } from '../programs/run.ts';
import { fileSource } from './containers/byteSource.ts';
import type { ClipContext } from './clipContext.ts';
import type { Reading } from './sighting.ts';
import { parseTelemetryText } from './telemetryTrack.ts';
import { decodeText } from './textDecoding.ts';

const maxTextBytes = 32 << 20;

/** Reads a SubRip sidecar that is already open. */
export async function readSubRipSidecar(media: OpenMedia, name: string, clip: ClipContext): Promise<Reading> {
  const source = `SubRip sidecar ${name}`;
  const reading = await parseTelemetryText(decodeText(fileSource(media).read(0, maxTextBytes)), {
    ...clip,
    source,
  });
  if (media.sizeBytes <= maxTextBytes) return reading;
  return { ...reading, refusals: [...reading.refusals, tooLong(source, media.sizeBytes)] };
}

/** Reads a text track inside a clip. `position` counts the clip's text tracks from 0. */
export async function readTextTrack(
  media: OpenMedia,
  ffmpeg: Program,
  track: { readonly position: number; readonly codec: string },
  clip: ClipContext,
): Promise<Reading> {
  const source = `text track ${track.position + 1}`;
  // SubRip text is copied as it is; other codings are turned into it, at an eighth of the size of a packet dump.
  const coding = track.codec === 'subrip' ? 'copy' : 'subrip';
  const run = await runProgram({
    program: ffmpeg,
    args: [
      ...'-hide_banner -nostdin -v error -protocol_whitelist file,pipe -i'.split(' '),
      mediaArgument(media),
      ...`-map 0:s:${track.position} -c:s ${coding} -f srt pipe:1`.split(' '),
    ],
    media,
    // Some containers must be read whole to find the text: a 100 GB recording takes minutes.
    wallMs: 300_000,
    stdoutBytes: maxTextBytes,
    stderrBytes: 65_536,
    memoryKiB: 900_000,
  });
  const reading = await parseTelemetryText(decodeText(run.stdout), { ...clip, source });
  if (run.ended === 'exit' && run.exitCode === 0) return reading;
  const reason = `could only be read in part (${run.ended === 'exit' ? `exit status ${run.exitCode}` : run.ended})`;
  return { ...reading, refusals: [...reading.refusals, { what: 'text track', raw: source, source, reason }] };
}

function tooLong(source: string, sizeBytes: number) {
  return {
    what: 'sidecar',
    raw: `${sizeBytes} bytes`,
    source,
    reason: 'is too long; only its beginning was read',
  };
}
