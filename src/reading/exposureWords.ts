// The standard's words for its numbers (CIPA DC-008, Exif 2.32; from memory, checked against a general-purpose reader).

const exposurePrograms: Readonly<Record<number, string>> = {
  1: 'manual',
  2: 'normal program',
  3: 'aperture priority',
  4: 'shutter priority',
  5: 'creative program',
  6: 'action program',
  7: 'portrait mode',
  8: 'landscape mode',
};

const exposureModes: Readonly<Record<number, string>> = {
  0: 'auto exposure',
  1: 'manual exposure',
  2: 'auto bracket',
};

const meteringModes: Readonly<Record<number, string>> = {
  1: 'average',
  2: 'centre-weighted average',
  3: 'spot',
  4: 'multi-spot',
  5: 'pattern',
  6: 'partial',
  255: 'other',
};

const whiteBalances: Readonly<Record<number, string>> = {
  0: 'auto white balance',
  1: 'manual white balance',
};

export const exposureWords = {
  exposureProgram: exposurePrograms,
  exposureMode: exposureModes,
  meteringMode: meteringModes,
  whiteBalance: whiteBalances,
} as const;
