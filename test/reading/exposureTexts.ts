import type { JudgedNumbers } from '../../src/reading/recordedNumber.ts';

// Texts in the arrangements that aircraft write beside and inside clips; the values are made up, and what they say was
// worked out by hand: 220 under "fnum" is f/2.2, 240 under "focal_len" is 24.0 mm, "SS 640.00" is 1/640 s. Which
// notation means what is common practice, no source.

export interface ExposureText {
  readonly text: string;
  readonly facts: JudgedNumbers['facts'];
  /** Of what a value was refused. */
  readonly refused?: readonly string[];
  /** The container's own position. */
  readonly place?: { readonly latitude: number; readonly longitude: number };
}

const bracketed = {
  iso: 200,
  exposureSeconds: 1 / 640,
  fNumber: 2.2,
  evAsReadStops: -0.3,
  whiteBalanceKelvin: 5600,
  focalLengthMm: 24,
  latitude: 51.05,
  longitude: -3.2,
  altitudeMetres: 61.2,
};
const list = {
  fNumber: 2.8,
  exposureSeconds: 1 / 640,
  iso: 100,
  evAsReadStops: -0.3,
  latitude: 51.0512,
  longitude: -3.201,
  heightOverStartMetres: 38.2,
  groundSpeedMetresPerSecond: 4.1,
};
const words = {
  latitude: 51.0499,
  longitude: -3.201,
  heightOverStartMetres: 38.2,
  iso: 100,
  exposureSeconds: 1 / 640,
};

/** At 29.97 frames/s. */
export const exposureTexts: readonly ExposureText[] = [
  // One bracket for each pair.
  {
    text: '[iso : 200] [shutter : 1/640.0] [fnum : 220] [ev : -0.3] [ct : 5600] [color_md : default] [focal_len : 240] [dzoom_ratio: 10000, delta:0],[latitude: 51.05] [longtitude: -3.20] [altitude: 61.2]',
    facts: bracketed,
  },
  {
    text: '<font size="28">FrameCnt : 1, DiffTime : 33ms\n2024-07-09 18:22:41,183,402\n[iso : 200] [shutter : 1/640.0] [fnum : 220] [ev : -0.3] [ct : 5600] [color_md : default] [focal_len : 240] [latitude: 51.05] [longtitude: -3.20] [altitude: 61.2] </font>',
    facts: bracketed,
  },
  {
    text: '[ISO:200][SHUTTER:1/640][FNUM:2.2][EV:-0.3][CT:5600][FOCAL_LEN:24.00][LATITUDE:51.05][LONGITUDE:-3.20][ALTITUDE:61.2]',
    facts: bracketed,
  },
  {
    text: '[altitude: 61.2]\n[longitude: -3.20]\n[latitude: 51.05]\n[focal_len: 24.00]\n[ct: 5600]\n[ev: -0.3]\n[fnum: 2.2]\n[shutter: 1/640.0]\n[iso: 200]',
    facts: bracketed,
  },
  {
    text: '[iso  :  200]  [shutter  :  1 / 640.0]  [fnum  :  2.2]',
    facts: { iso: 200, exposureSeconds: 1 / 640, fNumber: 2.2 },
  },
  { text: '[fnum: 80]', facts: { fNumber: 0.8 } },
  { text: '[fnum : 170]', facts: { fNumber: 1.7 } },
  { text: '[fnum : 1100]', facts: { fNumber: 11 } },
  { text: '[fnum: 1.7]', facts: { fNumber: 1.7 } },
  { text: '[fnum: 22]', facts: { fNumber: 22 } },
  { text: '[fnum: 0]', facts: {}, refused: ['fNumber'] },
  { text: '[focal_len : 240]', facts: { focalLengthMm: 24 } },
  { text: '[focal_len: 24]', facts: { focalLengthMm: 24 } },
  { text: '[focal_len: 162.00]', facts: { focalLengthMm: 162 } },
  { text: '[focal_len : 470]', facts: { focalLengthMm: 47 } },
  { text: '[focal_len: 166 mm]', facts: { focalLengthMm: 166 } },
  { text: '[focal_len35: 24.00]', facts: {} },
  // Several pairs in one bracket, and heights over the start and over the sea.
  {
    text: '[rel_alt: 42.300 abs_alt: 153.100] [gb_yaw: -12.3 gb_pitch: -45.0 gb_roll: 0.0]',
    facts: {
      heightOverStartMetres: 42.3,
      altitudeMetres: 153.1,
      headingDegrees: 347.7,
      cameraPitchDegrees: -45,
    },
  },
  {
    text: '[rel_alt: -0.400 abs_alt: -2.927]',
    facts: { heightOverStartMetres: -0.4, altitudeMetres: -2.927 },
  },
  {
    text: '[gimbal_yaw: -91.4 gimbal_pitch: -90.0 gimbal_roll: 0.0]',
    facts: { headingDegrees: 268.6, cameraPitchDegrees: -90 },
  },
  {
    text: '[gb_yaw : 45.2] [gb_pitch : -15.3] [gb_roll : 0.1]',
    facts: { headingDegrees: 45.2, cameraPitchDegrees: -15.3 },
  },
  // The aircraft's own attitude is not the camera's.
  { text: '[Drone: Yaw:90.4, Pitch:0.8, Roll:-1.6]', facts: {} },
  {
    text: '[Drone: Yaw:1.9, Pitch:-3.1, Roll:1.5] [Gimbal: Yaw:10.0, Pitch:-45.0, Roll:0.0]',
    facts: { headingDegrees: 10, cameraPitchDegrees: -45 },
  },
  {
    text: 'F.PRY (2.7°, -7.0°, 110.1°), G.PRY (-24.4°, 0.0°, 110.4°)',
    facts: { cameraPitchDegrees: -24.4, headingDegrees: 110.4 },
  },
  // A list with commas.
  {
    text: 'F/2.8, SS 640.00, ISO 100, EV -0.3, DZOOM 1.000, GPS (-3.2010, 51.0512, 14), D 12.10m, H 38.20m, H.S 4.10m/s, V.S 0.00m/s',
    facts: list,
  },
  {
    text: 'f/2.8, ss 640, iso 100, ev -0.3, gps (-3.2010,51.0512,14), d 12.10m, h 38.20m, h.s 4.10m/s, v.s 0.00m/s',
    facts: list,
  },
  {
    text: 'F/6.3, SS 60, ISO 100, EV 0, RTK (-3.2010, 51.0512, 28), HOME (-3.2020, 51.0500, 103.55m), D 75.36m, H 76.19m, H.S 0.30m/s',
    facts: {
      fNumber: 6.3,
      exposureSeconds: 1 / 60,
      iso: 100,
      evAsReadStops: 0,
      latitude: 51.0512,
      longitude: -3.201,
      heightOverStartMetres: 76.19,
      groundSpeedMetresPerSecond: 0.3,
    },
  },
  {
    text: 'F/2.8, SS 30.15, ISO 710, EV 0, DZOOM 1.000, GPS (n/a, n/a, 4), D n/a, H 1.10m, H.S 0.00m/s, V.S -0.00m/s',
    facts: {
      fNumber: 2.8,
      exposureSeconds: 1 / 30.15,
      iso: 710,
      evAsReadStops: 0,
      heightOverStartMetres: 1.1,
      groundSpeedMetresPerSecond: 0,
    },
  },
  {
    text: 'F/3.5, SS 1000, ISO 100, EV -1/3',
    facts: { fNumber: 3.5, exposureSeconds: 1 / 1000, iso: 100, evAsReadStops: -1 / 3 },
  },
  { text: 'SS 0.005', facts: { exposureSeconds: 1 / 200 } },
  // Longer than a frame of 29.97 frames/s, as seconds and as a part of a second.
  { text: 'SS 0.5', facts: {}, refused: ['exposureSeconds'] },
  { text: 'SS 4', facts: {}, refused: ['exposureSeconds'] },
  { text: 'Shutter:1', facts: {}, refused: ['exposureSeconds'] },
  { text: 'H 38.20m, H.S 14.4km/h', facts: { heightOverStartMetres: 38.2, groundSpeedMetresPerSecond: 4 } },
  // 100 ft are 30.48 m.
  { text: 'H 100ft', facts: { heightOverStartMetres: 30.48 } },
  { text: 'ground speed 4.1', facts: {}, refused: ['groundSpeedMetresPerSecond'] },
  { text: 'H 38.20, D 12', facts: {} },
  { text: 'Hs:1.9m', facts: {} },
  // Words with colons.
  {
    text: 'HOME(-3.2001,51.0400) 2017.08.05 14:11:51\nGPS(-3.2010,51.0499,14) BAROMETER:38.2\nISO:100 Shutter:640 EV:-0.3 Fnum:F2.8',
    facts: { ...words, evAsReadStops: -0.3, fNumber: 2.8 },
  },
  {
    text: 'HOME(-3.2001,51.0400) 2017.08.05 14:11:51\nGPS(-3.2010,51.0499,14) BAROMETER:38.2\nISO:100 Shutter:640 EV: Fnum:2.2',
    facts: { ...words, fNumber: 2.2 },
  },
  {
    text: 'HOME(-3.2001,51.0400) 2017.8.5 14:11:51\nGPS(-3.2010,51.0499,16) Hb:38.2 Hs:1.9\nISO:100 TV:640 EV: 0 IR:F2.8',
    facts: { ...words, evAsReadStops: 0, fNumber: 2.8 },
  },
  { text: 'ISO:100 TV:640 EV:\n1200 m from here', facts: { iso: 100, exposureSeconds: 1 / 640 } },
  {
    text: 'HOME(W: 3.2001, N: 51.0400)\nGPS(W: 3.2010, N: 51.0499, 61.2m)\nISO:100 SHUTTER:640 EV:0.0 F-NUM:2.8',
    facts: {
      latitude: 51.0499,
      longitude: -3.201,
      iso: 100,
      exposureSeconds: 1 / 640,
      evAsReadStops: 0,
      fNumber: 2.8,
    },
  },
  // Which of the two is the longitude.
  { text: 'GPS(126.7125,-47.2062,14)', facts: { latitude: -47.2062, longitude: 126.7125 } },
  { text: 'GPS(-47.2062,126.7125,14)', facts: { latitude: -47.2062, longitude: 126.7125 } },
  {
    text: 'GPS(51.0499,-3.2010,14)',
    facts: { latitude: 51.0499, longitude: -3.201 },
    place: { latitude: 51.06, longitude: -3.21 },
  },
  {
    text: 'GPS(-3.2010,51.0499,14)',
    facts: { latitude: 51.0499, longitude: -3.201 },
    place: { latitude: 51.06, longitude: -3.21 },
  },
  {
    text: 'GPS(-3.2010,51.0499,14)',
    facts: {},
    refused: ['latitude', 'longitude'],
    place: { latitude: 12.5, longitude: 40.25 },
  },
  {
    text: 'GPS(36.6146,-6.1120,0.0M) BAROMETER:0.3M',
    facts: { heightOverStartMetres: 0.3 },
    refused: ['latitude', 'longitude'],
  },
  {
    text: 'GPS(36.6146,-6.1120,0.0M)',
    facts: { latitude: 36.6146, longitude: -6.112 },
    place: { latitude: 36.6, longitude: -6.1 },
  },
  { text: 'GPS(190.5,-95.2,3)', facts: {}, refused: ['latitude', 'longitude'] },
  { text: 'GPS: 51.0499, -3.2010', facts: { latitude: 51.0499, longitude: -3.201 } },
  { text: '[latitude_str: 51.0499N] [latitude: 51.0499]', facts: { latitude: 51.0499 } },
];
