/**
 * Why a file could not be read or written, as the end of a sentence; in the words of the system where it is rare.
 * @param doing what was tried; a file that is to be written need not be there, but its folder must
 */
export function fileTrouble(error: NodeJS.ErrnoException, doing: 'read' | 'write' = 'read'): string {
  switch (error.code) {
    case 'ENOENT':
      return doing === 'read' ? 'it is not there' : 'its folder is not there';
    case 'EACCES':
    case 'EPERM':
      return `this user may not ${doing} it`;
    case 'EISDIR':
      return 'it is a folder';
    case 'ENOTDIR':
      return 'a part of its path is a file and no folder';
    case 'ELOOP':
      return 'it is a link that leads to itself';
    case 'ENAMETOOLONG':
      return 'its name is too long';
    case 'ENOSPC':
      return 'the disk is full';
    case 'EROFS':
      return 'the disk can only be read';
    default:
      return error.message;
  }
}
