// `npm run test:browser`: tests without sound, then those that are played, then those that are heard. A file’s name runs it alone.
import { BROWSER, playwright, sum } from '../suites.ts';

const names = process.argv.slice(2);
const args = names.length > 0 ? ['--pass-with-no-tests', ...names] : [];
const counts = BROWSER.map(({ name, workers }) =>
  playwright('browser', name, {
    args: [`--workers=${workers}`, ...args],
    mayBeEmpty: names.length > 0,
  }),
);
const { passed, failed } = sum(counts);
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed > 0 ? 1 : 0;
