import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { parseXmp } from '../../src/reading/xmp.ts';
import { readStillFile, sourceOf, valueOf } from './readings.ts';

// Local names as they are written; the namespaces are invented, for any may stand there.
const parse = (attributes: string) =>
  parseXmp(
    Buffer.from(
      '<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description ' +
        `xmlns:air="urn:aero:any" xmlns:other="urn:other" ${attributes}/></rdf:RDF>`,
    ),
    { carrier: 'xmp-embedded', label: 'XMP' },
  );

test('heights, speed and the attitude of the gimbal are read in any namespace', () => {
  const reading = parse(
    'air:RelativeAltitude="+42.30" air:FlightXSpeed="+3.0" air:FlightYSpeed="-4.0" ' +
      'air:GimbalPitchDegree="-89.90" air:GimbalYawDegree="-48.60" air:FlightPitchDegree="+5.10" air:FlightYawDegree="+2.0"',
  );
  expect(valueOf(reading, 'heightOverStartMetres')).toBe(42.3);
  expect(valueOf(reading, 'groundSpeedMetresPerSecond')).toBe(5);
  expect(valueOf(reading, 'cameraPitchDegrees')).toBe(-89.9);
  expect(valueOf(reading, 'headingDegrees')).toBeCloseTo(311.4, 10);
  expect(sourceOf(reading, 'cameraPitchDegrees')).toBe('XMP GimbalPitchDegree');
  expect(reading.refusals).toEqual([]);
});

test("the aircraft's own attitude does not say where the camera looks", () => {
  const reading = parse(
    'air:PitchAngle="2.56" air:FlightYawDegree="70" air:Height="66.1" air:GroundSpeed="4.7"',
  );
  expect(valueOf(reading, 'cameraPitchDegrees')).toBeUndefined();
  expect(valueOf(reading, 'headingDegrees')).toBeUndefined();
  expect(valueOf(reading, 'heightOverStartMetres')).toBe(66.1);
  expect(valueOf(reading, 'groundSpeedMetresPerSecond')).toBe(4.7);
});

test.each([
  ['-90', -90],
  ['-45.5', -45.5],
  ['0', undefined],
  ['13.2', undefined],
  ['-10', undefined],
])("a camera's pitch of %s counts only where its zero is certain: %s", (pitch, expected) => {
  expect(valueOf(parse(`air:CameraPitch="${pitch}"`), 'cameraPitchDegrees')).toBe(expected);
});

test("a camera's yaw says where it looks, whatever its pitch counts from", () => {
  const reading = parse('air:CameraPitch="13.2" air:CameraYaw="-167.0"');
  expect(valueOf(reading, 'headingDegrees')).toBe(193);
});

test('a height without a flight around it is another thing', () => {
  expect(parse('other:Height="480" other:Width="640" air:GroundSpeed="4.7"').sightings).toHaveLength(1);
});

test('what cannot be true is refused', () => {
  const reading = parse(
    'air:RelativeAltitude="+99999.0" air:GimbalYawDegree="5000" air:GimbalPitchDegree="-400"',
  );
  expect(reading.sightings).toEqual([]);
  expect(reading.refusals.map(({ what }) => what)).toEqual([
    'heightOverStartMetres',
    'cameraPitchDegrees',
    'headingDegrees',
  ]);
});

test('any numbers give facts within their bounds', () => {
  const name = fc.constantFrom(
    'GimbalPitchDegree',
    'GimbalYaw',
    'CameraPitch',
    'Height',
    'GroundSpeed',
    'FlightXSpeed',
  );
  fc.assert(
    fc.property(fc.dictionary(name, fc.oneof(fc.double().map(String), fc.string())), (values) => {
      const text = Object.entries(values).map(
        ([key, value]) => `air:${key}="${value.replaceAll(/[<&"]/g, '')}"`,
      );
      for (const { fact, value } of parse(text.join(' ')).sightings) {
        if (fact === 'headingDegrees') expect(value >= 0 && value <= 360).toBe(true);
        if (fact === 'cameraPitchDegrees') expect(Math.abs(value)).toBeLessThanOrEqual(180);
        expect(Number.isFinite(value)).toBe(true);
      }
    }),
  );
});

const flight = fileURLToPath(
  new URL('../../../shared/real-media/survey-flight/SURV0001.JPG', import.meta.url),
);
test.skipIf(!existsSync(flight))(
  'a real mapping flight has height, speed and zone, and no pitch of its camera (skipped without the file)',
  async () => {
    const reading = await readStillFile(flight);
    expect(valueOf(reading, 'heightOverStartMetres')).toBeCloseTo(66.11, 2);
    expect(valueOf(reading, 'groundSpeedMetresPerSecond')).toBeCloseTo(4.7, 6);
    expect(valueOf(reading, 'cameraPitchDegrees')).toBeUndefined();
    expect(valueOf(reading, 'recordedAt')).toBe('2013-06-04T13:37:29-04:00');
  },
);
