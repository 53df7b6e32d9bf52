/**
 * A number as XMP writes it: a rational ("1/200") or, as some writers have it, a decimal one. 0/0 is NaN; undefined for
 * any other text.
 *
 * @example xmpNumber('+28/10') // 2.8
 */
export function xmpNumber(text: string): number | undefined {
  const [, numerator, denominator] = /^([+-]?\d{1,12})\/([+-]?\d{1,12})$/.exec(text) ?? [];
  if (numerator !== undefined) return Number(numerator) / Number(denominator);
  return /^[+-]?\d{1,12}(\.\d{1,20})?$/.test(text) ? Number(text) : undefined;
}
