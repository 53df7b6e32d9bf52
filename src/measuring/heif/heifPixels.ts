// HEIC is decoded by a package that carries libheif with libde265 as WebAssembly: it joins the tiles of a grid, turns the
// picture as it asks to be turned, needs no compiler, and its memory is its own. It is an optional package, under the
// LGPL, of which nothing is copied into this one. A file that means harm can keep it busy or hungry, so it works in a
// thread that is ended after a time and gets no more memory than a picture needs.
import { fileURLToPath } from 'node:url';
import { Worker } from 'node:worker_threads';
import { HalfturnError } from '../../domain/halfturnError.ts';

export interface HeifQuestion {
  readonly file: Uint8Array;
  readonly mostPixels: number;
  readonly mostMemoryBytes: number;
}

interface HeifPixels {
  readonly width: number;
  readonly height: number;
  /** R'G'B' of 8 bits, turned as the picture asks to be shown. */
  readonly codes: Uint8Array<ArrayBuffer>;
}

interface Failure {
  readonly failed: 'missing' | 'large' | 'damaged' | 'slow';
  readonly reason: string;
}

export type HeifAnswer = HeifPixels | Failure;

// Built, also from the tests: Node runs no TypeScript before version 22.18.
const program = fileURLToPath(new URL('../../../dist/measuring/heif/heifWorker.js', import.meta.url));

/** Larger than any camera that flies; a crafted header of more costs memory without end. */
export const mostStillPixels = 160_000_000;

const usualLimits = {
  mostPixels: mostStillPixels,
  // Such a picture in three channels, its coded planes, and as much again for the decoder.
  mostMemoryBytes: 1 << 30,
  // 12 megapixels take a second, and several on a slow computer.
  longestMs: 60_000,
};

/** Decodes the main picture of a HEIF file with HEVC. A picture that cannot be had is a HalfturnError. */
export async function readHeifPixels(file: Uint8Array, limits = usualLimits): Promise<HeifPixels> {
  const { mostPixels, mostMemoryBytes, longestMs } = limits;
  const answer = await decodeInThread({ file, mostPixels, mostMemoryBytes }, longestMs);
  if ('codes' in answer) return answer;
  throw refused({ failed: answer.failed, reason: firstLine(answer.reason) });
}

/** Of the library that decodes HEIC; undefined where its package is not installed. */
export async function heifDecoderVersion(): Promise<string | undefined> {
  const library = await import('libheif-js/wasm-bundle.js').catch(() => undefined);
  return library?.default.heif_get_version();
}

function decodeInThread(question: HeifQuestion, longest: number): Promise<HeifAnswer> {
  return new Promise((resolve) => {
    const worker = new Worker(program, {
      workerData: question,
      // What a decoder prints would stand among what we print.
      stdout: true,
      stderr: true,
      execArgv: [],
      resourceLimits: { maxOldGenerationSizeMb: 256 },
    });
    const end = (answer: HeifAnswer): void => {
      clearTimeout(timer);
      void worker.terminate();
      resolve(answer);
    };
    const timer = setTimeout(() => end({ failed: 'slow', reason: `${longest / 1000} s` }), longest);
    worker.once('message', end);
    worker.once('error', (error: Error) => end({ failed: 'damaged', reason: error.message }));
    worker.once('exit', (status) => end({ failed: 'damaged', reason: `the decoder ended with ${status}` }));
  });
}

function refused({ failed, reason }: Failure): HalfturnError {
  const convert =
    'Convert it to JPEG to have it measured; what was recorded beside the picture is still read.';
  switch (failed) {
    case 'missing':
      return new HalfturnError(
        'HEIC pictures cannot be decoded, because this installation lacks the optional package libheif-js',
        'Run npm install again without leaving out optional packages.',
        undefined,
        true,
      );
    case 'large':
      return tooManyPixels();
    case 'slow':
      return new HalfturnError(
        `Decoding the HEIF picture was given up after ${reason}`,
        convert,
        undefined,
        true,
      );
    case 'damaged':
      if (/compression format|image type/i.test(reason))
        return new HalfturnError(
          'The HEIF picture is coded otherwise than with HEVC, and only that is decoded here',
          convert,
        );
      return new HalfturnError(`The HEIF picture cannot be decoded (${reason})`, convert);
  }
}

export function tooManyPixels(): HalfturnError {
  const most = mostStillPixels / 1_000_000;
  return new HalfturnError(`The still is larger than ${most} million pixels`, 'Make a smaller copy of it.');
}

function firstLine(text: string): string {
  const [line = ''] = text.split('\n').filter((each) => each.trim() !== '');
  return line.replaceAll(/[^ -~]/g, '?').slice(0, 160) || 'unknown reason';
}
