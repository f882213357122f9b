// The packaging configuration fits electron-builder's own schema, and closes what a packaged program must close.
import fs from 'node:fs';
import { createRequire } from 'node:module';
import { describe, expect, it } from 'vitest';
import { FILE_ENDINGS } from '../../../app/electron/file-endings.ts';

const require = createRequire(import.meta.url);
const root = new URL('../../../', import.meta.url);
const readJson = (path: string): Record<string, unknown> =>
  JSON.parse(fs.readFileSync(new URL(path, root), 'utf8')) as Record<string, unknown>;

const config = readJson('app/electron/builder.json');

describe('the packaging configuration', () => {
  it('names only options that electron-builder knows (its published scheme.json)', () => {
    const scheme = require('app-builder-lib/scheme.json') as {
      properties: Record<string, unknown>;
      definitions: Record<string, { properties: Record<string, unknown> }>;
    };
    expect(Object.keys(config).filter((key) => !(key in scheme.properties))).toEqual([]);
    const known = {
      electronFuses: 'FuseOptionsV1',
      mac: 'MacConfiguration',
      win: 'WindowsConfiguration',
      linux: 'LinuxConfiguration',
      nsis: 'NsisOptions',
    };
    for (const [section, definition] of Object.entries(known)) {
      const { properties } = scheme.definitions[definition]!;
      const unknown = Object.keys(config[section] as object).filter((key) => !(key in properties));
      expect(unknown, section).toEqual([]);
    }
  });

  it('carries the files that are read beside the built program', () => {
    expect(config['files']).toEqual(
      expect.arrayContaining(['assets/icons/icon.png', 'assets/charts/*.txt']),
    );
  });

  // Source of the list: Electron's security guide on fuses.
  it('turns off every fuse that would let others run code in the program', () => {
    expect(config['electronFuses']).toMatchObject({
      runAsNode: false,
      enableNodeOptionsEnvironmentVariable: false,
      enableNodeCliInspectArguments: false,
      grantFileProtocolExtraPrivileges: false,
      onlyLoadAppFromAsar: true,
      enableEmbeddedAsarIntegrityValidation: true,
      // It may bring a keychain prompt, and there are no cookies.
      enableCookieEncryption: false,
    });
  });

  // electron-builder makes no .deb without them.
  it('names its makers and its home', () => {
    const manifest = readJson('package.json');
    expect(manifest).toMatchObject({ author: { email: expect.stringContaining('@') } });
    for (const key of ['homepage', 'repository', 'bugs', 'license', 'desktopName']) {
      expect(manifest, key).toHaveProperty(key);
    }
  });

  it('lets a signed Mac program hear the microphone, and nothing beyond it', () => {
    const { mac } = config as { mac: Record<string, string> };
    expect(mac).toMatchObject({ hardenedRuntime: true });
    const plist = fs.readFileSync(new URL(mac['entitlements']!, root), 'utf8');
    expect([...plist.matchAll(/<key>(.*?)<\/key>/g)].map(([, key]) => key)).toEqual([
      'com.apple.security.cs.allow-jit',
      'com.apple.security.device.audio-input',
    ]);
    expect(mac['entitlementsInherit']).toBe(mac['entitlements']);
  });

  it('opens by a double click what the program opens', () => {
    // One ending each: Linux takes a list for one name.
    const associations = config['fileAssociations'] as { ext: string; rank?: string }[];
    expect(associations.map(({ ext }) => ext)).toEqual([...FILE_ENDINGS]);
    const others = associations.filter(({ rank }) => rank === 'Alternate').map(({ ext }) => ext);
    expect(others).toEqual(['musicxml', 'mxl']);
  });

  it('sets no feed for updates', () => expect(config['publish']).toBeNull());

  it('makes every icon of one picture of 1024 by 1024', () => {
    const { mac, win, linux } = config as Record<'mac' | 'win' | 'linux', { icon: string }>;
    expect([mac.icon, win.icon]).toEqual(Array(2).fill('assets/icons/icon.png'));
    expect(fs.readdirSync(new URL(linux.icon, root))).toContain('icon.png');
    const png = fs.readFileSync(new URL('assets/icons/icon.png', root));
    // PNG: width and height stand big-endian at bytes 16 and 20 (ISO/IEC 15948).
    expect([png.readUInt32BE(16), png.readUInt32BE(20)]).toEqual([1024, 1024]);
  });

  it('packs the main file that package.json names', () => {
    expect(readJson('package.json')['main']).toBe('./out/main/index.js');
    expect(config['files']).toContain('out/**');
    // Everything is bundled.
    expect(config['files']).toContain('!**/node_modules/**');
  });
});
