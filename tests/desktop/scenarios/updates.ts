// A newer version on a feed: nothing is asked of it before the player says so, and what is fetched is checked.
import { createHash } from 'node:crypto';
import fs from 'node:fs';
import http from 'node:http';
import type { AddressInfo } from 'node:net';
import path from 'node:path';
import { expect } from '@playwright/test';
import { app } from '../standin/app.ts';
import { record, user } from '../standin/record.ts';
import { type Scenario, WAIT } from './scenario.ts';

const NEWER = Buffer.from('the program of tomorrow'.repeat(1000));
const asked: string[] = [];
let look: () => void = () => undefined;

/** As electron-builder writes it beside the packages. */
const feed = (): string => `version: 9.9.9
files:
  - url: Rungwise-9.9.9.AppImage
    sha512: ${createHash('sha512').update(NEWER).digest('base64')}
    size: ${NEWER.length}
path: Rungwise-9.9.9.AppImage
releaseDate: '2026-01-01T00:00:00.000Z'
`;

const scenario: Scenario = {
  async before({ data }) {
    const server = http.createServer(({ url = '' }, response) => {
      asked.push(url.split('?')[0]!);
      response.end(url.includes('.yml') ? feed() : NEWER);
    });
    await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
    server.unref();
    const { port } = server.address() as AddressInfo;
    const resourcesPath = path.join(data, 'resources');
    fs.mkdirSync(resourcesPath);
    fs.writeFileSync(
      path.join(resourcesPath, 'app-update.yml'),
      `provider: generic\nurl: http://127.0.0.1:${port}\nupdaterCacheDirName: updates\n`,
    );
    Object.assign(process, { resourcesPath });
    app.isPackaged = true;
    process.env['APPIMAGE'] = path.join(data, 'Rungwise-0.1.0.AppImage');
    process.env['XDG_CACHE_HOME'] = path.join(data, 'cache');
    fs.writeFileSync(process.env['APPIMAGE'], 'the program of today');
    user.messageBox = ({ message }) => {
      if (message.startsWith('Look')) {
        return new Promise((answer) => (look = () => answer({ response: 0 })));
      }
      return Promise.resolve({ response: message.includes('Fetch') ? 0 : 1 });
    };
    return [];
  },
  async run({ data }) {
    const words = (): string[] => record.messageBoxes.map(({ message }) => message);
    await expect.poll(words, WAIT).toEqual(['Look for a newer version of Rungwise?']);
    expect(asked).toEqual([]);
    look();
    await expect
      .poll(words, WAIT)
      .toEqual([
        'Look for a newer version of Rungwise?',
        'Rungwise 9.9.9 is there. Fetch it?',
        'The new version is ready. Start it now?',
      ]);
    expect(asked[0]).toBe('/latest-linux.yml');
    const fetched = path.join(data, 'cache', 'updates', 'pending', 'Rungwise-9.9.9.AppImage');
    expect(fs.readFileSync(fetched).equals(NEWER)).toBe(true);
    // Not now: today's program stays.
    expect(fs.readFileSync(process.env['APPIMAGE']!, 'utf8')).toBe('the program of today');
    expect(record.violations).toEqual([]);
  },
};

export default scenario;
