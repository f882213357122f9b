// What shares is behind a door: closed while no folder is chosen, open from the first choice on.
import fs from 'node:fs';
import path from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import type { ServiceHost } from '../../../app/services/machine/host.ts';
import { parcel } from '../../support/machines/places.ts';
import { openTestServices, temporaryDirectory } from './samples.ts';

let root: string;
let data: string;
let folder: string;

beforeEach(() => {
  root = temporaryDirectory();
  [data, folder] = [path.join(root, 'data'), path.join(root, 'folder')];
  fs.mkdirSync(folder);
});
afterEach(() => fs.rmSync(root, { recursive: true, force: true }));

async function during<T>(work: (ask: Ask) => Promise<T>): Promise<T> {
  const host: ServiceHost = openTestServices(data);
  try {
    return await work(async (name, input = {}) => {
      const answer = await host.handle(name, input);
      if (!answer.ok) throw new Error(answer.problems[0]?.message);
      return answer.value;
    });
  } finally {
    host.close();
  }
}
type Ask = (name: string, input?: unknown) => Promise<unknown>;

const sharedFiles = (): string[] =>
  fs.readdirSync(data).filter((name) => /^(own-machines|shared-)/.test(name));

const NOTHING = { writers: [], waiting: [], written: [] };

it('opens and writes nothing at a start where nothing is shared, and answers all the same', async () => {
  await during(async (ask) => {
    expect(await ask('shared.read')).toEqual(NOTHING);
    expect(await ask('shared.sync')).toMatchObject({ passes: 0, reports: [] });
    expect(await ask('shared.meet')).toBeNull();
    expect(await ask('shared.forget', { student: 'nobody' })).toMatchObject({
      ok: true,
      value: { emptied: 0 },
    });
  });
  expect(sharedFiles()).toEqual([]);
});

it('opens with the first choice, and by itself at the next start', async () => {
  await during(async (ask) => {
    expect(await ask('shared.choose', { folder })).toMatchObject({ ok: true });
    expect(await ask('shared.read')).toMatchObject({ folder });
    // Nothing was lost by it.
    expect(await ask('host.info')).toMatchObject({ problems: [] });
  });
  await during(async (ask) => {
    expect(await ask('shared.read')).toMatchObject({ folder, written: [] });
    expect(await ask('shared.post', parcel('x'))).toMatchObject({ ok: true });
    expect(await ask('shared.read')).toMatchObject({ written: [{ name: parcel('x').name }] });
  });
});

it('remembers what was chosen before there was a folder', async () => {
  await during((ask) => ask('shared.looksFirst', { on: true }));
  await during(async (ask) => {
    expect(await ask('shared.read')).toEqual({ ...NOTHING, looksFirst: true });
  });
});

it('is closed again once the folder was left', async () => {
  await during((ask) => ask('shared.choose', { folder }));
  await during((ask) => ask('shared.choose', { folder: null }));
  fs.rmSync(path.join(data, 'own-machines.sqlite'));
  await during(async (ask) => {
    expect(await ask('shared.read')).toEqual(NOTHING);
  });
  expect(sharedFiles()).toEqual(['shared-folder.json']);
});
