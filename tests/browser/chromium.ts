// Which Chromium the browser tests and the bench drive, and how it is started.
import fs from 'node:fs';
import path from 'node:path';
import type { LaunchOptions } from '@playwright/test';
import { chromium } from '@playwright/test';

/** Chromium without windows: a page costs a fifth of the processor time, since no bars and menus are drawn around it. */
const SHELLS = ['chromium-headless-shell', 'chrome-headless-shell'];
const BROWSERS = [
  'chromium',
  'chromium-browser',
  'google-chrome',
  'google-chrome-stable',
  'chrome',
];

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

/** Of the two kinds of Chromium: the browser that people have, or one without windows. */
export interface ChromiumKind {
  readonly entire: boolean;
}

/** Those that are there, Playwright's own last if it has been fetched. */
export const installed = ({ entire }: ChromiumKind): readonly string[] =>
  (entire
    ? [
        ...onSearchPath(BROWSERS),
        ...(USUAL_PLACES[process.platform] ?? []),
        chromium.executablePath(),
      ]
    : [...onSearchPath(SHELLS), ...playwrightsShells()]
  ).filter((file) => fs.existsSync(file));

/**
 * The Chromium to take, or undefined.
 * @param entire The browser that people have, also where one without windows is there.
 */
export const chromiumPath = ({ entire = false } = {}): string | undefined =>
  [...(entire ? [] : installed({ entire: false })), ...installed({ entire: true })].find(
    (file) => !leftOut().includes(file),
  );

/** Those that were found not to start, here and in every process started from here. */
const LEFT_OUT = 'RUNGWISE_TEST_LEFT_OUT';
const leftOut = (): string[] => (process.env[LEFT_OUT] ?? '').split(path.delimiter);

/** Whether a Chromium may be taken; until somebody says otherwise it may. */
export function allow(file: string, may: boolean): void {
  const others = leftOut().filter((other) => other && other !== file);
  process.env[LEFT_OUT] = [...others, ...(may ? [] : [file])].join(path.delimiter);
}

const onSearchPath = (names: readonly string[]): string[] =>
  names.flatMap((name) =>
    (process.env['PATH'] ?? '').split(path.delimiter).map((folder) => path.join(folder, name)),
  );

/** Playwright names only the place of the entire one; the other lies beside it, in a folder of the same number. */
function playwrightsShells(): string[] {
  const [revision] = /(?<=[\\/]chromium)-\d+(?=[\\/])/.exec(chromium.executablePath()) ?? [];
  if (!revision) return [];
  const [browsers] = chromium.executablePath().split(`chromium${revision}`);
  const folder = path.join(browsers!, `chromium_headless_shell${revision}`);
  const ending = process.platform === 'win32' ? '.exe' : '';
  return fs
    .globSync('*/chrome-headless-shell*', { cwd: folder })
    .filter((file) => path.basename(file) === `chrome-headless-shell${ending}`)
    .map((file) => path.join(folder, file));
}

export interface LaunchChoices {
  /** The browser that people have, also where one without windows is installed. */
  readonly entire?: boolean;
  /** A WAV file that the microphone hears, over and over; true is Chromium's own beep. */
  readonly fakeMicrophone?: string | true;
  /** Tabs of one address share a process, which stays while one of them is open. */
  readonly keepsProcess?: boolean;
}

/**
 * A process that has compiled the program needs no thread that reads all of it again at each load. Chromium heeds the
 * last such list alone, so what Playwright 1.65 turns off stands here, too.
 */
const WITHOUT_STREAMING = [
  'ScriptStreaming',
  ...['AvoidUnnecessaryBeforeUnloadCheckSync', 'DestroyProfileOnBrowserClose', 'HttpsUpgrades'],
  ...['HttpsFirstBalancedModeAutoEnable', 'LensOverlay', 'MediaRouter', 'PaintHolding'],
  ...['ThirdPartyStoragePartitioning', 'AvoidCorsURLLoaderRestartOnRedirect'],
  ...['TcpPortRandomizationWin', 'OptimizationHints', 'NetworkTimeServiceQuerying', 'AimEnabled'],
  ...['PreconnectToSearch', 'msForceBrowserSignIn', 'msEdgeUpdateLaunchServicesPreferredVersion'],
];
const KEEPING = ['--process-per-site', `--disable-features=${WITHOUT_STREAMING.join()}`];

/**
 * For `chromium.launch`. Sound may start without a click, nothing goes to the network by itself.
 * @throws Error when no Chromium is there.
 */
export function launchOptions({
  entire,
  fakeMicrophone,
  keepsProcess = false,
}: LaunchChoices = {}): LaunchOptions {
  const executablePath = chromiumPath({ entire });
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
      ...(keepsProcess ? KEEPING : []),
      ...microphoneArgs(fakeMicrophone),
    ],
  };
}

function microphoneArgs(sound: string | true | undefined): string[] {
  if (sound === undefined) return [];
  const file = sound === true ? [] : [`--use-file-for-fake-audio-capture=${path.resolve(sound)}`];
  return ['--use-fake-ui-for-media-stream', '--use-fake-device-for-media-stream', ...file];
}
