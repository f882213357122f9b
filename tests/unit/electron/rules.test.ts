// The rules of the window one by one: what is served, granted, refused and offered.
import fs from 'node:fs';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { menuTemplate } from '../../../app/electron/menu.ts';
import { setUpNavigation } from '../../../app/electron/navigation.ts';
import { setUpPermissions } from '../../../app/electron/permissions.ts';
import { setUpProtocol } from '../../../app/electron/protocol.ts';
import { roomNames } from '../../../app/services/contract/rooms.ts';
import { rooms } from '../../../renderer/shell/rooms.ts';
import { temporaryDirectory } from '../services/samples.ts';
import { BrowserWindow, protocol, resetElectron, session } from './fake-electron.ts';

// One and the same fake, however often the modules under test are loaded anew.
const electron = await vi.hoisted(() => import('./fake-electron.ts'));
vi.mock('electron', () => electron);

beforeEach(resetElectron);

describe('the scheme', () => {
  let root: string;
  beforeEach(() => {
    root = temporaryDirectory();
    fs.mkdirSync(path.join(root, 'view'));
    fs.writeFileSync(path.join(root, 'view', 'index.html'), '<title>view</title>');
    fs.writeFileSync(path.join(root, 'secret.json'), '{}');
    setUpProtocol(path.join(root, 'view'));
  });
  afterEach(() => fs.rmSync(root, { recursive: true, force: true }));

  const get = (url: string, init?: RequestInit) =>
    protocol.handlers['rungwise']!(new Request(url, init));

  it.each(['rungwise://trainer/', 'rungwise://trainer/index.html'])(
    'serves %s with the content policy',
    async (url) => {
      const response = await get(url);
      expect(await response.text()).toBe('<title>view</title>');
      expect(response.headers.get('content-type')).toContain('text/html');
      expect(response.headers.get('content-security-policy')).toContain("default-src 'none'");
    },
  );

  it.each([
    'rungwise://trainer/../secret.json',
    'rungwise://trainer/%2e%2e/secret.json',
    'rungwise://trainer/..%2fsecret.json',
    'rungwise://trainer/..%5csecret.json',
    'rungwise://trainer/%00',
    'rungwise://trainer/missing.js',
    'rungwise://elsewhere/index.html',
    'rungwise://trainer:80/index.html',
  ])('refuses %s', async (url) => {
    const response = await get(url);
    expect(response.status).toBe(404);
    expect(response.headers.get('content-security-policy')).toBeTruthy();
  });

  it('refuses everything but GET', async () => {
    const response = await get('rungwise://trainer/index.html', { method: 'POST' });
    expect(response.status).toBe(404);
  });
});

describe('permissions', () => {
  const OURS = 'rungwise://trainer/';

  const asked = (permission: string, requestingUrl: string, mediaTypes?: string[]): boolean => {
    setUpPermissions();
    let granted = false;
    const answer = (value: boolean): void => void (granted = value);
    const request = session.defaultSession.request as unknown as (...args: unknown[]) => void;
    request({}, permission, answer, { requestingUrl, ...(mediaTypes ? { mediaTypes } : {}) });
    return granted;
  };

  it.each([
    ['media', OURS, ['audio'], true],
    ['media', OURS, ['audio', 'video'], false],
    ['media', OURS, ['video'], false],
    ['media', OURS, [], false],
    ['media', 'https://evil.example/', ['audio'], false],
    ['midi', OURS, undefined, true],
    ['midiSysex', OURS, undefined, false],
    ['geolocation', OURS, undefined, false],
    ['notifications', OURS, undefined, false],
    ['openExternal', OURS, undefined, false],
    ['clipboard-read', OURS, undefined, false],
    ['unknown', OURS, undefined, false],
  ])('%s for %s (%j): %s', (permission, url, types, granted) => {
    expect(asked(permission, url, types)).toBe(granted);
  });

  it('are checked by the same rule, and devices are refused', () => {
    setUpPermissions();
    const { check, device } = session.defaultSession as unknown as Record<
      'check' | 'device',
      (...args: unknown[]) => boolean
    >;
    expect(check({}, 'media', OURS, { mediaType: 'audio' })).toBe(true);
    expect(check({}, 'media', OURS, { mediaType: 'video' })).toBe(false);
    expect(check({}, 'media', 'https://evil.example', { mediaType: 'audio' })).toBe(false);
    expect(check(null, 'serial', OURS, {})).toBe(false);
    expect(device({ deviceType: 'usb' })).toBe(false);
  });
});

describe('navigation', () => {
  it.each(['will-navigate', 'will-frame-navigate', 'will-redirect', 'will-attach-webview'])(
    '%s is refused',
    (name) => {
      setUpNavigation();
      const { webContents } = new BrowserWindow({});
      const event = { preventDefault: vi.fn() };
      webContents.emit(name, event);
      expect(event.preventDefault).toHaveBeenCalledOnce();
    },
  );

  it('opens no new window', () => {
    setUpNavigation();
    const { webContents } = new BrowserWindow({});
    expect(webContents.openHandler?.()).toEqual({ action: 'deny' });
  });
});

const NOTHING = {
  act: () => undefined,
  openChart: () => undefined,
  reload: () => undefined,
};

describe('the menu', () => {
  const labels = (platform: NodeJS.Platform) =>
    menuTemplate(platform, 'Rungwise', NOTHING).map((item) => item.label ?? item.role);

  it('follows each platform’s conventions', () => {
    expect(labels('darwin')).toEqual([
      'Rungwise',
      '&File',
      'editMenu',
      '&Rooms',
      '&View',
      'windowMenu',
      'help',
    ]);
    expect(labels('linux')).toEqual(['&File', 'editMenu', '&Rooms', '&View', 'help']);
    expect(labels('win32')).toEqual(labels('linux'));
  });

  it('lists the rooms of the view, by their names and in their order', () => {
    expect(Object.entries(roomNames)).toEqual(rooms.map(({ id, name }) => [id, name]));
  });

  it('gives every accelerator once', () => {
    const keys = menuTemplate('linux', 'Rungwise', NOTHING)
      .flatMap((item) => (Array.isArray(item.submenu) ? item.submenu : []))
      .flatMap((item) => item.accelerator ?? []);
    expect(new Set(keys).size).toBe(keys.length);
  });
});
