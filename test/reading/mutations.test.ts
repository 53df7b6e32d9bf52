import { test } from 'vitest';
import { propertyRuns } from './parserProperties.ts';

// The bench runs the same with 10,000 inputs each.
test.each(Object.entries(propertyRuns))(
  '%s: damage never throws and never yields what cannot be',
  (_, check) => check(500),
);
