// A camera names its firmware where a program names itself: a version and nothing else ("10.3.1", "V01.02.0300"), or one
// whose parts are padded with zeros behind whatever the camera is called ("X2D V01.02"). Programs have a name that is no
// version, and do not pad theirs.
const versionAlone = /^(?:firmware|fw|version|ver|v)?[ .:]*\d{1,4}(?:\.\d{1,6}){1,4}[a-z]?$/i;
const paddedVersion = /(?:^|[ _-])v?(?:0\d\.\d{2,4}|\d{1,2}\.0\d{1,3})(?:\.\d{2,6})*$/i;

/**
 * Whether the name of a program is only that of a camera's own software.
 * @example isFirmwareVersion('V01.02.0300') // true
 */
export function isFirmwareVersion(text: string): boolean {
  const name = text.trim();
  return name.length <= 80 && (versionAlone.test(name) || paddedVersion.test(name));
}
