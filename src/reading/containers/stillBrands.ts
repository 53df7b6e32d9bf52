// Brands of still pictures in ISO base media files: ISO/IEC 23008-12 (HEIF) and the AV1 Image File Format.

export const heifBrands: ReadonlySet<string> = new Set([
  'heic',
  'heix',
  'heim',
  'heis',
  'hevc',
  'hevx',
  'mif1',
  'mif2',
  'msf1',
]);

export const avifBrands: ReadonlySet<string> = new Set(['avif', 'avis']);
