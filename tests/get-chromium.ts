// Finds or fetches the Chromiums that tests take; one that is there and does not start is left out, and that is said.
import { spawnSync } from 'node:child_process';
import fs from 'node:fs';
import { chromium } from '@playwright/test';
import { allow, type ChromiumKind, installed, launchOptions } from './browser/chromium.ts';
import { runTool } from './suites.ts';

/** The entire Chromium, without which browser tests fail, and one without windows, which costs them less. */
export async function getChromium(): Promise<boolean> {
  if (!(await get('Chromium', 'chromium', { entire: true }))) {
    console.error(
      'No Chromium can be had here (none that starts, none fetched): the browser tests FAIL. ' +
        'Install Chromium or Chrome, then run npm test again.',
    );
    return false;
  }
  if (!(await get('Chromium without windows', 'chromium-headless-shell', { entire: false }))) {
    console.log('Every browser test takes the entire Chromium, and takes longer so.');
  }
  return true;
}

/** An installed one; else Playwright's own; else Debian's, when root; else false. */
async function get(what: string, name: string, kind: ChromiumKind): Promise<boolean> {
  if (await oneStarts(kind)) return true;
  console.log(`No ${what} that starts is installed; fetching Playwright’s own …`);
  await runTool('@playwright/test/cli.js', ['install', name]);
  if (await oneStarts(kind)) return true;
  if (process.getuid?.() !== 0 || !fs.existsSync('/etc/debian_version')) return false;
  console.log(`Installing Debian’s ${name} …`);
  spawnSync('apt-get', ['update'], { stdio: 'inherit' });
  spawnSync('apt-get', ['install', '-y', '--no-install-recommends', name], { stdio: 'inherit' });
  return oneStarts(kind);
}

/** Tries them in the order in which they would be taken; those that do not start are taken by nobody. */
export async function oneStarts(kind: ChromiumKind): Promise<boolean> {
  for (const file of installed(kind)) {
    const why = await whyItDoesNotStart(file);
    allow(file, why === undefined);
    if (why === undefined) return true;
    console.error(`${file} does not start and is left out: ${why}`);
  }
  return false;
}

async function whyItDoesNotStart(file: string): Promise<string | undefined> {
  try {
    const started = await chromium.launch({ ...launchOptions(), executablePath: file });
    await started.close();
    return undefined;
  } catch (error) {
    return error instanceof Error ? error.message.split('\n')[0] : String(error);
  }
}
