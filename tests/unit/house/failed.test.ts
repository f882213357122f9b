// What a long run names once more at its end, from reports as vitest and Playwright write them.
import { describe, expect, it } from 'vitest';
import {
  failedInPlaywright,
  failedInVitest,
  failureText,
  skippedInPlaywright,
  skippedInVitest,
  skippedText,
} from '../../failed.ts';

describe('the failed tests of a run', () => {
  it('are named from vitest’s report, and so is a file that could not be read', () => {
    const passed = { status: 'passed', fullName: 'sums adds', failureMessages: [] };
    const failed = {
      status: 'failed',
      fullName: 'sums halves',
      failureMessages: ['Error: 1 is not 2'],
    };
    const report = {
      numPassedTests: 1,
      numFailedTests: 1,
      testResults: [
        { name: '/root/tests/a.test.ts', status: 'failed', assertionResults: [passed, failed] },
        {
          name: '/root/tests/b.test.ts',
          status: 'failed',
          message: 'no such file',
          assertionResults: [],
        },
        { name: '/root/tests/c.test.ts', status: 'passed', assertionResults: [passed] },
      ],
    };
    expect(failedInVitest(report, '/root')).toEqual([
      { file: 'tests/a.test.ts', title: 'sums halves', message: 'Error: 1 is not 2' },
      { file: 'tests/b.test.ts', title: 'the whole file', message: 'no such file' },
    ]);
  });

  it('are named from Playwright’s report, with what was skipped and what broke the run', () => {
    const test = (status: string, message?: string) => ({
      status,
      results: [{ errors: message ? [{ message }] : [] }],
    });
    const spec = (title: string, one: ReturnType<typeof test>) => ({
      title,
      file: 'a.spec.ts',
      tests: [one],
    });
    const report = {
      stats: { expected: 1, unexpected: 1, flaky: 0, skipped: 1 },
      errors: [{ message: 'no view was built' }],
      suites: [
        {
          specs: [
            spec('opens', test('expected')),
            spec('closes', test('unexpected', 'Error: open')),
          ],
          suites: [{ specs: [spec('waits', test('skipped'))] }],
        },
      ],
    };
    expect(failedInPlaywright(report, '/root')).toEqual([
      { file: '', title: 'the run itself', message: 'no view was built' },
      { file: 'a.spec.ts', title: 'closes', message: 'Error: open' },
      { file: 'a.spec.ts', title: 'waits', message: 'did not pass: skipped' },
    ]);
  });

  it('are not those that a machine lacks something for; a test skipped without a reason is', () => {
    const skipped = (title: string, missing?: string) => ({
      ...{ status: 'skipped', fullName: title, failureMessages: [] },
      meta: missing ? { missing } : {},
    });
    const vitest = {
      ...{ numPassedTests: 0, numFailedTests: 0 },
      testResults: [
        {
          ...{ name: '/root/tests/a.test.ts', status: 'passed' },
          assertionResults: [skipped('one', 'sox is not installed here'), skipped('two')],
        },
      ],
    };
    expect(failedInVitest(vitest, '/root').map(({ title }) => title)).toEqual(['two']);
    const spec = (title: string, annotations: { type: string; description?: string }[]) => ({
      ...{ title, file: 'b.spec.ts' },
      tests: [{ status: 'skipped', annotations, results: [] }],
    });
    const playwright = {
      stats: { expected: 0, unexpected: 0, flaky: 0, skipped: 2 },
      suites: [
        {
          specs: [
            spec('one', [{ type: 'skip', description: 'sox is not installed here' }]),
            spec('two', [{ type: 'skip' }]),
          ],
        },
      ],
    };
    expect(failedInPlaywright(playwright, '/root').map(({ title }) => title)).toEqual(['two']);
    const all = [...skippedInVitest(vitest, '/root'), ...skippedInPlaywright(playwright)];
    expect(skippedText(all)).toEqual([
      '– 2 did not run: sox is not installed here (tests/a.test.ts, b.spec.ts)',
    ]);
  });

  it('are told in a few lines without colours', () => {
    const message = `\u001b[31mError: 1 is not 2\u001b[39m\n\n  at sum (sum.ts:1)\n  at node_modules/run.js:2\n${'x\n'.repeat(40)}`;
    const lines = failureText('unit', { file: 'a.test.ts', title: 'adds', message }).split('\n');
    expect(lines.slice(0, 4)).toEqual([
      '✗ unit · a.test.ts · adds',
      '    Error: 1 is not 2',
      '      at sum (sum.ts:1)',
      '    x',
    ]);
    expect(lines).toHaveLength(9);
  });
});
