// Which Chromium the browser tests and the bench drive, and how it is started.
import fs from 'node:fs';
import path from 'node:path';
import type { LaunchOptions } from '@playwright/test';
import { chromium } from '@playwright/test';

const NAMES = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'chrome'];

const USUAL_PLACES: Readonly<Partial<Record<NodeJS.Platform, readonly string[]>>> = {
  darwin: [
    '/Applications/Chromium.app/Contents/MacOS/Chromium',
    '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  ],
  win32: [
    'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
    'C:\\Program Files (x86)\\Google\\Chrome\\Application\\chrome.exe',
    'C:\\Program Files (x86)\\Microsoft\\Edge\\Application\\msedge.exe',
  ],
};

/** An installed Chromium, else Playwright's own if it has been fetched, else undefined. */
export function chromiumPath(): string | undefined {
  const folders = (process.env['PATH'] ?? '').split(path.delimiter);
  const installed = [
    ...folders.flatMap((folder) => NAMES.map((name) => path.join(folder, name))),
    ...(USUAL_PLACES[process.platform] ?? []),
  ];
  return [...installed, chromium.executablePath()].find((file) => fs.existsSync(file));
}

export interface LaunchChoices {
  /** A WAV file that the microphone hears, over and over; true is Chromium's own beep. */
  readonly fakeMicrophone?: string | true;
}

/**
 * For `chromium.launch`. Sound may start without a click, nothing goes to the network by itself.
 * @throws Error when no Chromium is there.
 */
export function launchOptions({ fakeMicrophone }: LaunchChoices = {}): LaunchOptions {
  const executablePath = chromiumPath();
  if (!executablePath) {
    throw new Error('There is no Chromium here: run `npm test`, which gets one where it can.');
  }
  return {
    executablePath,
    args: [
      '--no-sandbox',
      '--disable-background-networking',
      '--disable-quic',
      '--no-first-run',
      '--autoplay-policy=no-user-gesture-required',
      ...microphoneArgs(fakeMicrophone),
    ],
  };
}

function microphoneArgs(sound: string | true | undefined): string[] {
  if (sound === undefined) return [];
  const file = sound === true ? [] : [`--use-file-for-fake-audio-capture=${path.resolve(sound)}`];
  return ['--use-fake-ui-for-media-stream', '--use-fake-device-for-media-stream', ...file];
}
