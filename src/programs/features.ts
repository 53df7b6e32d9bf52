import type { Program } from './program.ts';
import { runProgram } from './run.ts';

// What Halfturn asks of each program. A build without one of these still works for files that do not need it.
const options: Readonly<Record<Program['name'], readonly string[]>> = {
  ffprobe: [
    '-show_data',
    '-max_streams',
    '-max_pixels',
    '-format_whitelist',
    '-protocol_whitelist',
    '-probesize',
  ],
  ffmpeg: ['-protocol_whitelist', '-max_pixels', '-autorotate'],
};
const decoders = ['h264', 'hevc', 'prores', 'mjpeg', 'vp9', 'av1'];
const demuxers = ['mov', 'matroska', 'mpegts', 'mxf', 'avi'];

/** What a build cannot do, in words for the person; empty where nothing is missing. */
export async function missingFeatures(program: Program): Promise<readonly string[]> {
  const [help, decoderList, demuxerList] = await Promise.all([
    ask(program, ['-h', 'full']),
    ask(program, ['-decoders']),
    ask(program, ['-demuxers']),
  ]);
  return [
    ...options[program.name]
      .filter((option) => !hasWord(help, option))
      .map((option) => `the option ${option}`),
    // The AV1 decoders go by the names of their makers' libraries.
    ...decoders
      .filter((name) => !new RegExp(`^ V\\S+ \\S*${name}`, 'm').test(decoderList))
      .map((name) => `a decoder for ${name}`),
    ...demuxers
      .filter((name) => !new RegExp(`^ D\\S* +\\S*${name}`, 'm').test(demuxerList))
      .map((name) => `a reader for ${name} files`),
  ];
}

function hasWord(text: string, word: string): boolean {
  return text.split(/\s+/).includes(word);
}

async function ask(program: Program, args: readonly string[]): Promise<string> {
  const limits = { wallMs: 20_000, stdoutBytes: 8 << 20, stderrBytes: 65_536 };
  const answer = await runProgram({ program, args: ['-hide_banner', ...args], ...limits });
  return answer.stdout.toString('utf8');
}
