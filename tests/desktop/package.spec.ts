// The package read back: what stands in it, what its fuses are, what it tells the system, and that it runs.
import fs from 'node:fs';
import { builtinModules } from 'node:module';
import os from 'node:os';
import path from 'node:path';
import { extractAll, extractFile, listPackage } from '@electron/asar';
import { FuseV1Options, getCurrentFuseWire } from '@electron/fuses';
import { expect, test } from '@playwright/test';
import { FILE_ENDINGS } from '../../app/electron/file-endings.ts';
import { NOTICES, type PackageNotice } from '../../app/notices.ts';
import { packLinux, packMac } from './pack/pack.ts';
import { root } from './runtime.ts';
import { expectPassed, runScenarios } from './scenario-process.ts';

// One package for all of them.
test.describe.configure({ mode: 'default' });

let out: string;
let linux: Awaited<ReturnType<typeof packLinux>>;
test.beforeAll(async () => {
  out = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-package-'));
  linux = await packLinux(path.join(out, 'linux'));
});
test.afterAll(() => fs.rmSync(out, { recursive: true, force: true }));

const inArchive = (file: string): Buffer =>
  extractFile(linux.archive, path.normalize(file.replace(/^\//, '')));
const files = (): string[] =>
  listPackage(linux.archive, { isPack: false }).map((file) => file.replaceAll('\\', '/'));

test('the archive holds the program and nothing else', () => {
  const belongs =
    /^\/(out(\/.*)?|assets(\/(icons(\/icon\.png)?|charts(\/[^/]+\.txt)?|handbook(\/[^/]+\.md)?|schemas(\/[^/]+\.json)?))?|LICENSE|package\.json)$/;
  expect(files().filter((file) => !belongs.test(file))).toEqual([]);
  expect(files().filter((file) => /node_modules|\.map$/.test(file))).toEqual([]);
  const folders = ['assets/charts', 'assets/handbook', 'assets/schemas'].flatMap((folder) =>
    fs.readdirSync(path.join(root, folder)).map((file) => `${folder}/${file}`),
  );
  for (const file of [...folders, 'assets/icons/icon.png', 'LICENSE']) {
    expect(inArchive(file).equals(fs.readFileSync(path.join(root, file))), file).toBe(true);
  }
  const { main } = JSON.parse(inArchive('package.json').toString()) as { main: string };
  expect(files()).toContain(path.posix.join('/', main));
  expect(files()).toEqual(
    expect.arrayContaining(['/out/preload/index.cjs', '/out/renderer/index.html']),
  );
});

test('its code asks for nothing but Electron and what Node has', () => {
  const code = files().filter((file) => /^\/out\/(main|preload)\/.*\.c?js$/.test(file));
  expect(code.length).toBeGreaterThan(1);
  const asked = code.flatMap((file) =>
    [
      ...inArchive(file)
        .toString()
        .matchAll(/(?:\bfrom|\bimport|\brequire\(|\bimport\()\s*["'`]([\w@.:/-]+)["'`]/g),
    ].map(([, name]) => name!),
  );
  expect(asked).toContain('electron');
  const own = new Set([...builtinModules, 'electron']);
  const strange = asked.filter((name) => !/^(\.|node:)/.test(name) && !own.has(name));
  expect([...new Set(strange)]).toEqual([]);
});

test('it brings the licence of every package it is made of', () => {
  const shown = inArchive(`out/renderer/${NOTICES}`).toString();
  const notices = JSON.parse(shown) as Required<PackageNotice>[];
  for (const { name, identifier, text } of notices) {
    expect(identifier, name).toMatch(/^(MIT|ISC|0BSD|BSD-3-Clause|BlueOak-1\.0\.0|MPL-2\.0)$/);
    expect(text.length, name).toBeGreaterThan(300);
  }
  const manifest = fs.readFileSync(path.join(root, 'package.json'), 'utf8');
  const { dependencies } = JSON.parse(manifest) as { dependencies: object };
  const named = new Set(notices.map(({ name }) => name));
  // `open` serves the browser host alone, which is not packed; `tonal` only names its parts, which are there.
  const without = Object.keys(dependencies).filter((name) => !named.has(name));
  expect(without).toEqual(['open', 'tonal']);
  expect([...named]).toEqual(expect.arrayContaining(['@tonaljs/note', 'semver', 'svelte']));
  for (const file of ['LICENSE.electron.txt', 'LICENSES.chromium.html']) {
    expect(fs.existsSync(path.join(linux.folder, file)), file).toBe(true);
  }
});

const OFF = '0'.charCodeAt(0);
const ON = '1'.charCodeAt(0);

async function expectFuses(executable: string): Promise<void> {
  expect(await getCurrentFuseWire(executable)).toMatchObject({
    [FuseV1Options.RunAsNode]: OFF,
    [FuseV1Options.EnableCookieEncryption]: OFF,
    [FuseV1Options.EnableNodeOptionsEnvironmentVariable]: OFF,
    [FuseV1Options.EnableNodeCliInspectArguments]: OFF,
    [FuseV1Options.EnableEmbeddedAsarIntegrityValidation]: ON,
    [FuseV1Options.OnlyLoadAppFromAsar]: ON,
    [FuseV1Options.GrantFileProtocolExtraPrivileges]: OFF,
  });
}

test('Linux: the fuses are set, and the desktop knows the program and its files', async () => {
  await expectFuses(path.join(linux.folder, 'rungwise'));
  const entry = new Map(
    linux.desktop.split('\n').map((line) => line.split(/=(.*)/) as [string, string]),
  );
  expect(Object.fromEntries(entry)).toMatchObject({
    Name: 'Rungwise',
    Type: 'Application',
    Categories: 'AudioVideo;Audio;Music;Education;',
    StartupWMClass: 'rungwise',
  });
  expect(entry.get('Exec')).toMatch(/rungwise %U$/);
  for (const type of ['chart', 'sheet', 'report']) {
    expect(entry.get('MimeType')).toContain(`application/x-rungwise-${type};`);
  }
  for (const ending of FILE_ENDINGS) expect(linux.types).toContain(`pattern="*.${ending}"`);
});

// electron-builder packs for macOS on Linux and macOS only.
if (process.platform !== 'win32') {
  test('macOS: the fuses, the integrity of the archive, the microphone’s words, the files it opens', async () => {
    const mac = await packMac(path.join(out, 'mac'));
    await expectFuses(path.join(mac.folder, 'MacOS', 'Rungwise'));
    const plist = fs.readFileSync(path.join(mac.folder, 'Info.plist'), 'utf8');
    const { version } = JSON.parse(inArchive('package.json').toString()) as { version: string };
    const after = (key: string): string => plist.split(`<key>${key}</key>`)[1] ?? '';
    expect(after('CFBundleIdentifier')).toMatch(/^\s*<string>org\.rungwise\.trainer</);
    expect(after('CFBundleShortVersionString')).toMatch(new RegExp(`^\\s*<string>${version}<`));
    expect(after('NSMicrophoneUsageDescription')).toMatch(
      /^\s*<string>Rungwise listens only while/,
    );
    expect(after('ElectronAsarIntegrity')).toContain('<key>Resources/app.asar</key>');
    for (const ending of FILE_ENDINGS) {
      expect(after('CFBundleDocumentTypes')).toContain(`<string>${ending}</string>`);
    }
  });
}

test('what was packed runs, and the files beside its code are read', () => {
  const unpacked = path.join(out, 'unpacked');
  extractAll(linux.archive, unpacked);
  expectPassed(runScenarios(['first-screen'], { program: unpacked }));
});
