/** Where a recording stands by its name: folder number 100 to 999, file number 1 to 9999. */
export interface DcfName {
  /** The folder up to its number: files of one camera's folder share it. */
  readonly folder: string;
  readonly folderNumber: number;
  /** The four free characters before the file number. */
  readonly prefix: string;
  readonly fileNumber: number;
}

// CIPA DC-009 (Design rule for Camera File system): a folder of a three-digit number and five free characters, in it
// files of four free characters and a four-digit number.
const pattern = /^(?:(.*)\/)?([1-9]\d\d)[0-9A-Z_]{5}\/([0-9A-Z_]{4})(\d{4})\.[^./]+$/i;

/** Reads the last folder and the name of a path; undefined where they do not follow the rule for camera cards. */
export function dcfName(path: string): DcfName | undefined {
  const [, folder = '', folderNumber, prefix = '', fileNumber] = pattern.exec(path) ?? [];
  if (folderNumber === undefined || Number(fileNumber) === 0) return undefined;
  return {
    folder,
    folderNumber: Number(folderNumber),
    prefix: prefix.toUpperCase(),
    fileNumber: Number(fileNumber),
  };
}
