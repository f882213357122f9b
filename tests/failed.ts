// The tests that failed, read from the reports of vitest and Playwright: named once more where a long run ends.
import path from 'node:path';
import { stripVTControlCharacters } from 'node:util';

export interface Failure {
  /** From the root, or from the folder of its suite. */
  readonly file: string;
  readonly title: string;
  readonly message: string;
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
    const failed = assertionResults.filter((test) => test.status === 'failed');
    if (status === 'failed' && failed.length === 0) {
      return [{ file, title: 'the whole file', message: message ?? '' }];
    }
    return failed.map(({ fullName, failureMessages }) => ({
      file,
      title: fullName,
      message: (failureMessages ?? []).join('\n'),
    }));
  });
}

/** What was skipped, or never begun, has not passed either. */
export function failedInPlaywright(report: PlaywrightReport, root: string): Failure[] {
  const ofRun = (report.errors ?? []).map(({ message, location }) => ({
    file: location ? path.relative(root, location.file) : '',
    title: 'the run itself',
    message: message ?? '',
  }));
  return [...ofRun, ...(report.suites ?? []).flatMap(failedInSuite)];
}

function failedInSuite({ specs = [], suites = [] }: PlaywrightSuite): Failure[] {
  const failed = specs.flatMap(({ title, file, tests }) =>
    tests
      .filter(({ status }) => status !== 'expected')
      .map(({ status, results }) => {
        const said = results.flatMap(({ errors = [] }) => errors.map(({ message }) => message));
        return { file, title, message: said.join('\n') || `did not pass: ${status}` };
      }),
  );
  return [...failed, ...suites.flatMap(failedInSuite)];
}

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
