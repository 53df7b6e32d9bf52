import { constants, read } from 'node:fs';
import { open } from 'node:fs/promises';
import { resolve } from 'node:path';
import { promisify } from 'node:util';
import { displayText } from '../domain/displayText.ts';
import { HalfturnError } from '../domain/halfturnError.ts';

/** A regular file that is held open: every reader and every child program sees this descriptor, never a name. */
export interface OpenMedia {
  readonly fd: number;
  readonly sizeBytes: number;
  /** Absolute; for systems where a child cannot be handed a descriptor. Bytes where the name is not UTF-8. */
  readonly path: string | Buffer;
  /** Set once a program that reads it ran out of time or memory, or crashed: another time it may go otherwise. */
  transient?: boolean;
  close(): Promise<void>;
}

// O_NONBLOCK: without it the open of a named pipe never returns. Neither flag exists on Windows.
const openFlags = constants.O_RDONLY | (constants.O_NOFOLLOW ?? 0) | (constants.O_NONBLOCK ?? 0);

/** Opens a file for reading, without following a link, and refuses everything that is not a regular file. */
export async function openMedia(file: string | Buffer): Promise<OpenMedia> {
  const handle = await open(file, openFlags).catch((error: NodeJS.ErrnoException) => {
    throw refusedOpen(file, error);
  });
  const stats = await handle.stat().catch(async (error: NodeJS.ErrnoException) => {
    await handle.close();
    throw refusedOpen(file, error);
  });
  if (!stats.isFile()) {
    await handle.close();
    throw new HalfturnError(`${displayText(file)} is not a regular file`, 'Leave it out of the dump.');
  }
  return {
    fd: handle.fd,
    sizeBytes: stats.size,
    path: typeof file === 'string' ? resolve(file) : file,
    close: () => handle.close(),
  };
}

const readAt = promisify(read);

/** Whether a file is MP4 or MOV. */
export async function isMp4OrMov({ fd }: OpenMedia): Promise<boolean> {
  const head = Buffer.alloc(8);
  await readAt(fd, head, 0, 8, 0);
  return beginsAsMp4(head);
}

// Boxes that a QuickTime or ISO base media file may begin with (QuickTime File Format; ISO/IEC 14496-12).
const firstBoxes = new Set(['ftyp', 'moov', 'mdat', 'wide', 'free', 'skip', 'pnot', 'styp', 'uuid']);

/** Whether a file's first eight bytes are those of an MP4, a MOV or another ISO base media file. */
export function beginsAsMp4(head: Uint8Array): boolean {
  return firstBoxes.has(String.fromCharCode(...head.subarray(4, 8)));
}

function refusedOpen(file: string | Buffer, error: NodeJS.ErrnoException): HalfturnError {
  const name = displayText(file);
  switch (error.code) {
    case 'ENOENT':
      // What a person names is looked for before anything is opened.
      return new HalfturnError(
        `${name} was there when the folder was read and is gone now`,
        'Put the card back, or let what moves its files finish, and audit it again.',
      );
    case 'EACCES':
    case 'EPERM':
      return new HalfturnError(
        `${name} may not be read by this user`,
        'Give yourself permission to read it.',
      );
    case 'ELOOP':
    case 'EMLINK':
      return new HalfturnError(
        `${name} is a link, and links are not followed`,
        'Name the file that it points to.',
      );
    case 'ENXIO':
      return new HalfturnError(`${name} is not a regular file`, 'Leave it out of the dump.');
    case 'EMFILE':
    case 'ENFILE':
      return new HalfturnError(
        `${name} could not be opened because too many files are open`,
        'Close other programs and try again.',
      );
    default:
      return new HalfturnError(
        `${name} could not be opened (${error.code ?? 'unknown reason'})`,
        'Copy the card again and check the disk.',
      );
  }
}
