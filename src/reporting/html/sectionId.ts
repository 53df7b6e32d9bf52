/** Where a recording's section stands in the page. */
export function sectionId(index: number): string {
  return `recording-${index + 1}`;
}
