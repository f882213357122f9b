// `npm run test:browser`: tests without sound, then those that are played, then those that are heard. A file’s name runs it alone.
import { BROWSER, conclude, type Count, playwright, workersOf } from '../suites.ts';

const names = process.argv.slice(2);
const args = names.length > 0 ? ['--pass-with-no-tests', ...names] : [];
const counts: Count[] = [];
for (const { name } of BROWSER) {
  const choices = { args: [workersOf(name), ...args], mayBeEmpty: names.length > 0 };
  counts.push(await playwright('browser', name, choices));
}
conclude(counts);
