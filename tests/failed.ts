// The tests that failed or did not run, read from the reports of vitest and Playwright: named once more where a long
// run ends.
import path from 'node:path';
import { stripVTControlCharacters } from 'node:util';

export interface Failure {
  /** From the root, or from the folder of its suite. */
  readonly file: string;
  readonly title: string;
  readonly message: string;
}

/** A test that something was missing for: neither passed nor failed. */
export interface Skipped {
  readonly file: string;
  readonly missing: string;
}

/** What this reads of vitest's JSON report. */
export interface VitestReport {
  readonly numPassedTests: number;
  readonly numFailedTests: number;
  readonly testResults: readonly {
    /** A whole path. */
    readonly name: string;
    readonly status: string;
    /** Says why a file could not be read at all. */
    readonly message?: string;
    readonly assertionResults: readonly {
      readonly status: string;
      readonly fullName: string;
      readonly failureMessages?: readonly string[] | null;
      /** Put there by `needs` (tests/support/needs.ts). */
      readonly meta?: { readonly missing?: string };
    }[];
  }[];
}

/** What this reads of Playwright's JSON report. */
export interface PlaywrightReport {
  readonly stats: Record<'expected' | 'unexpected' | 'flaky' | 'skipped', number>;
  /** Of the run, not of a test: a file that cannot be read, a set-up that failed. */
  readonly errors?: readonly Thrown[];
  readonly suites?: readonly PlaywrightSuite[];
}

interface PlaywrightSuite {
  readonly specs?: readonly {
    readonly title: string;
    readonly file: string;
    readonly tests: readonly {
      readonly status: string;
      readonly annotations?: readonly { readonly type: string; readonly description?: string }[];
      readonly results: readonly { readonly errors?: readonly Thrown[] }[];
    }[];
  }[];
  readonly suites?: readonly PlaywrightSuite[];
}

interface Thrown {
  readonly message?: string;
  readonly location?: { readonly file: string };
}

export function failedInVitest(report: VitestReport, root: string): Failure[] {
  return report.testResults.flatMap(({ name, status, message, assertionResults }) => {
    const file = path.relative(root, name);
    const failed = assertionResults.filter((test) => test.status !== 'passed' && !missingFor(test));
    if (status === 'failed' && failed.length === 0) {
      return [{ file, title: 'the whole file', message: message ?? '' }];
    }
    return failed.map(({ status, fullName, failureMessages }) => ({
      file,
      title: fullName,
      message: (failureMessages ?? []).join('\n') || `did not pass: ${status}`,
    }));
  });
}

export const skippedInVitest = ({ testResults }: VitestReport, root: string): Skipped[] =>
  testResults.flatMap(({ name, assertionResults }) =>
    assertionResults.flatMap((test) => {
      const missing = missingFor(test);
      return missing ? [{ file: path.relative(root, name), missing }] : [];
    }),
  );

type VitestTest = VitestReport['testResults'][number]['assertionResults'][number];
const missingFor = ({ status, meta }: VitestTest): string | undefined =>
  status === 'skipped' ? meta?.missing : undefined;

/** What was skipped without a reason, or never begun, has not passed either. */
export function failedInPlaywright(report: PlaywrightReport, root: string): Failure[] {
  const ofRun = (report.errors ?? []).map(({ message, location }) => ({
    file: location ? path.relative(root, location.file) : '',
    title: 'the run itself',
    message: message ?? '',
  }));
  return [...ofRun, ...(report.suites ?? []).flatMap(failedInSuite)];
}

export const skippedInPlaywright = ({ suites = [] }: PlaywrightReport): Skipped[] =>
  suites.flatMap(testsIn).flatMap(({ file, test }) => {
    const missing = missingIn(test);
    return missing ? [{ file, missing }] : [];
  });

function failedInSuite(suite: PlaywrightSuite): Failure[] {
  return testsIn(suite)
    .filter(({ test }) => test.status !== 'expected' && !missingIn(test))
    .map(({ file, title, test: { status, results } }) => {
      const said = results.flatMap(({ errors = [] }) => errors.map(({ message }) => message));
      return { file, title, message: said.join('\n') || `did not pass: ${status}` };
    });
}

type PlaywrightTest = NonNullable<PlaywrightSuite['specs']>[number]['tests'][number];
/** The reason that `test.skip(condition, reason)` was given. */
const missingIn = ({ status, annotations = [] }: PlaywrightTest): string | undefined =>
  status === 'skipped' ? annotations.find(({ type }) => type === 'skip')?.description : undefined;

const testsIn = ({
  specs = [],
  suites = [],
}: PlaywrightSuite): {
  readonly file: string;
  readonly title: string;
  readonly test: PlaywrightTest;
}[] => [
  ...specs.flatMap(({ title, file, tests }) => tests.map((test) => ({ file, title, test }))),
  ...suites.flatMap(testsIn),
];

/** A heading and the first lines of the message, without colours and without steps through packages. */
export function failureText(suite: string, { file, title, message }: Failure): string {
  const said = stripVTControlCharacters(message)
    .split('\n')
    .filter((line) => line.trim() !== '' && !line.includes('node_modules'))
    .slice(0, 8);
  return [
    `✗ ${suite} · ${file} · ${title}`,
    ...said.map((line) => `    ${line.slice(0, 200)}`),
  ].join('\n');
}

/** Each reason once, with how many tests it kept from running, and where. */
export function skippedText(skipped: readonly Skipped[]): string[] {
  return [...Map.groupBy(skipped, ({ missing }) => missing)].map(([missing, tests]) => {
    const files = [...new Set(tests.map(({ file }) => file))].filter(Boolean);
    return `– ${tests.length} did not run: ${missing}${files.length > 0 ? ` (${files.join(', ')})` : ''}`;
  });
}
