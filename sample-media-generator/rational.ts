/** An exact ratio, so that the truth about an angle owes nothing to rounding. */
export interface Rational {
  readonly numerator: number;
  readonly denominator: number;
}

/** Reads "24000/1001", "1/50" or "25". */
export function rational(text: string): Rational {
  const [numerator, denominator = '1'] = text.split('/');
  return { numerator: Number(numerator), denominator: Number(denominator) };
}

export function toNumber({ numerator, denominator }: Rational): number {
  return numerator / denominator;
}

/** 360 degrees times the share of the frame interval that the shutter was open: one division, at the very end. */
export function angleDegrees({ rate, exposure }: { rate: Rational; exposure: Rational }): number {
  return (360 * rate.numerator * exposure.numerator) / (rate.denominator * exposure.denominator);
}
