/** Whether this is `npm run test:all`: all there is, where `npm test` takes a part of what is much the same. */
export const everything = process.env['HALFTURN_TESTS'] === 'all';
