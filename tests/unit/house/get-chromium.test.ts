// Which Chromium the tests take where one that is installed does not start.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { chromiumPath, installed } from '../../browser/chromium.ts';
import { oneStarts } from '../../get-chromium.ts';
import { needs, needsUnix } from '../../support/needs.ts';

let folder: string;
/** A program of that name, first on the search path; by itself it ends at once. */
function place(name: string, does = 'exit 1'): string {
  const file = path.join(folder, name);
  fs.writeFileSync(file, `#!/bin/sh\n${does}\n`, { mode: 0o755 });
  return file;
}

beforeEach(() => {
  folder = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-chromium-'));
  vi.stubEnv('PATH', `${folder}${path.delimiter}${process.env['PATH']}`);
  vi.stubEnv('RUNGWISE_TEST_LEFT_OUT', '');
  vi.spyOn(console, 'error').mockImplementation(() => undefined);
});
afterEach(() => {
  vi.unstubAllEnvs();
  vi.restoreAllMocks();
  fs.rmSync(folder, { recursive: true, force: true });
});

describe('of those on the search path', needsUnix, () => {
  it('takes the first that is there, one without windows before an entire one', () => {
    const entire = place('chromium');
    const shell = place('chromium-headless-shell');
    expect(chromiumPath()).toBe(shell);
    expect(chromiumPath({ entire: true })).toBe(entire);
    expect(installed({ entire: false })[0]).toBe(shell);
  });

  it('takes none that was found not to start, and says which and why', async () => {
    const shell = place('chromium-headless-shell');
    expect(chromiumPath()).toBe(shell);
    await oneStarts({ entire: false });
    expect(chromiumPath()).not.toBe(shell);
    expect(vi.mocked(console.error).mock.calls.flat().join()).toContain(
      `${shell} does not start and is left out: `,
    );
  });
});

const [works] = installed({ entire: false });
describe(
  'one that works',
  needs(works !== undefined, 'no Chromium without windows is here'),
  () => {
    it('is taken again when it has been mended', async () => {
      const shell = place('chromium-headless-shell');
      await oneStarts({ entire: false });
      expect(chromiumPath()).not.toBe(shell);
      place('chromium-headless-shell', `exec '${works}' "$@"`);
      await oneStarts({ entire: false });
      expect(chromiumPath()).toBe(shell);
    });
  },
);
