/**
 * Text that Markdown (CommonMark, and its tables and automatic links) shows as it is. Signs are only escaped where they
 * could mean something, so that the source stays readable too.
 * @example markdownText('*A* of 100_AERO') // '\\*A\\* of 100_AERO'
 */
export function markdownText(text: string): string {
  return text
    .replace(/[\r\n]+/g, ' ')
    .replace(/[\\`*[\]<>|~&#@!]/g, '\\$&')
    .replace(/(?<![A-Za-z0-9])_|_(?![A-Za-z0-9])/g, '\\_')
    .replace(/:(?=\/\/)|(?<=\bwww)\./gi, '\\$&')
    .replace(/^(\s*)([-+=]|\d+(?=[.)]))/, (_, space: string, sign: string) =>
      /\d/.test(sign) ? `${space}${sign}\\` : `${space}\\${sign}`,
    );
}
