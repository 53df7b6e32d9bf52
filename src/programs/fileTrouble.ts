/** Why a file could not be read or written, as the end of a sentence; in the words of the system where it is rare. */
export function fileTrouble(error: NodeJS.ErrnoException): string {
  return (error.code === undefined ? undefined : reasons[error.code]) ?? error.message;
}

const reasons: Readonly<Record<string, string>> = {
  ENOENT: 'it is not there',
  EACCES: 'this user may not',
  EPERM: 'this user may not',
  EISDIR: 'it is a folder',
  ENOTDIR: 'a part of its path is a file and no folder',
  ELOOP: 'it is a link that leads to itself',
  ENAMETOOLONG: 'its name is too long',
  ENOSPC: 'the disk is full',
  EROFS: 'the disk can only be read',
};
