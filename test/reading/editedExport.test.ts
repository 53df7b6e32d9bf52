import { expect, test } from 'vitest';
import { isFirmwareVersion } from '../../src/reading/editedExport.ts';

test.each(['V01.02.0300', '10.3.1', '01.00', 'Firmware 2.10', 'AX1 V01.02.0300', 'Veldrin-2 v00.09.0121'])(
  'a camera says %j of itself',
  (text) => expect(isFirmwareVersion(text)).toBe(true),
);

test.each(['Cutter 10.6', 'Lavf58.76.100', 'Grade Studio 18.1.4', 'editor', 'Cutter 2023.01', ''])(
  '%j is a program',
  (text) => expect(isFirmwareVersion(text)).toBe(false),
);
