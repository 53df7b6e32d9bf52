import path from 'node:path';
import { defineConfig } from 'vitest/config';

/** Rooms whose tests share a process, because they leave nothing behind in it: no environment, no folder, no spy. */
const rooms = [
  'advice',
  'cache',
  'document',
  'domain',
  'findings',
  'logbook',
  'measuring',
  'reading',
  'report',
];
/** Except of those rooms what starts programs by the dozen, or a browser. */
const alone = ['test/logbook/kill.test.ts', 'test/reading/hostile.test.ts', 'test/report/page.test.ts'];

// `npm test` leaves out what is long; `npm run test:all`, which names the mode "all", leaves out nothing.
export default defineConfig(({ mode }) => {
  const common = {
    root: path.resolve(import.meta.dirname, '..'),
    env: { HALFTURN_TESTS: mode },
    testTimeout: 300_000,
    hookTimeout: 600_000,
  };
  const leftOut = mode === 'all' ? [] : ['test/**/*.long.test.ts'];
  return {
    test: {
      ...common,
      globalSetup: path.join(import.meta.dirname, 'globalSetup.ts'),
      maxWorkers: '100%',
      projects: [
        {
          test: {
            ...common,
            name: 'sharing',
            isolate: false,
            include: rooms.map((room) => `test/${room}/**/*.test.ts`),
            exclude: [...leftOut, ...alone],
          },
        },
        {
          test: {
            ...common,
            name: 'apart',
            include: ['test/*.test.ts', `test/!(${rooms.join('|')})/**/*.test.ts`, ...alone],
            exclude: leftOut,
          },
        },
      ],
    },
  };
});
