import type { Refusal } from '../domain/recording.ts';
import type { CaptureNumberName, CaptureValues } from './captureValues.ts';
import type { RecordedNumber } from './recordedNumber.ts';

// PhotographicSensitivity is a 16-bit number; 65535 stands for "65535 or more" (CIPA DC-008, 4.6.5, tag 34855).
const overflow = 65_535;

/** Which tags hold the full value for each SensitivityType (CIPA DC-008, tag 34864). */
const namesByType: Readonly<Record<number, readonly CaptureNumberName[]>> = {
  1: ['StandardOutputSensitivity'],
  2: ['RecommendedExposureIndex'],
  3: ['ISOSpeed'],
  4: ['StandardOutputSensitivity', 'RecommendedExposureIndex'],
  5: ['StandardOutputSensitivity', 'ISOSpeed'],
  6: ['RecommendedExposureIndex', 'ISOSpeed'],
  7: ['StandardOutputSensitivity', 'RecommendedExposureIndex', 'ISOSpeed'],
};
const anyType = namesByType[7] as readonly CaptureNumberName[];

/** The sensitivity, read from the wider tags where the 16-bit one is absent or says "65535 or more". */
export function recordedIso(values: CaptureValues): {
  readonly recorded?: RecordedNumber;
  readonly refusal?: Refusal;
} {
  const short = values.number('PhotographicSensitivity');
  if (short && short.value !== overflow && short.value !== 0) return { recorded: short };
  const type = values.number('SensitivityType')?.value ?? 0;
  const wide = (namesByType[type] ?? anyType).map(values.number).find((found) => found && found.value > 0);
  if (wide) return { recorded: wide };
  if (short?.value !== overflow) return {};
  const reason = 'it stands for "65535 or more", and no wider value is recorded';
  return { refusal: { what: 'iso', raw: short.raw, source: short.source, reason } };
}
