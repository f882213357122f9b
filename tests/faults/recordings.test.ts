// Recordings and what may happen to them: a kill in the middle, a full disk, cut or changed files, a spoilt note.
import { spawn } from 'node:child_process';
import fs from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { unwrap } from '../../app/core/base/result.ts';
import type { Services } from '../../app/services/contract/contract.ts';
import type { ServiceHost } from '../../app/services/machine/host.ts';
import { about, record, soundOf, stretch, webm } from '../support/recordings.ts';
import { openTestServices, temporaryDirectory, viewOf } from '../unit/services/samples.ts';

let root: string;
let host: ServiceHost | undefined;
function open(): Services {
  host = openTestServices(root, { newId: () => crypto.randomUUID() });
  return viewOf(host);
}
const fileOf = (ending: string): string => {
  const folder = path.join(root, 'recordings');
  return path.join(
    folder,
    fs.readdirSync(folder).find((name) => name.endsWith(ending))!,
  );
};

beforeEach(() => {
  root = temporaryDirectory();
});
afterEach(() => {
  vi.restoreAllMocks();
  host?.close();
  host = undefined;
  fs.rmSync(root, { recursive: true, force: true });
});

/** A program that records without end; resolves with how many stretches it was told are kept when it was killed. */
async function killedAfter(stretches: number): Promise<number> {
  const script = fileURLToPath(new URL('recorder.ts', import.meta.url));
  const child = spawn(process.execPath, [script, root], { stdio: ['ignore', 'pipe', 'inherit'] });
  let said = '';
  child.stdout.on('data', (chunk: Buffer) => {
    said += chunk.toString();
    if (said.split('\n').length > stretches) child.kill('SIGKILL');
  });
  await new Promise((ended) => child.on('close', ended));
  return said.split('\n').length - 1;
}

it('killed in the middle: what was said to be kept is there, is said to have broken off, and plays', async () => {
  for (const after of [1, 2, 7]) {
    const told = await killedAfter(after);
    const view = open();
    const { all, problems } = await view.call('recordings.list', {});
    expect(problems).toEqual([]);
    expect(all[0]).toMatchObject({ state: 'broken-off', note: { chart: about.chart } });
    expect(all[0]!.bytes).toBeGreaterThanOrEqual(told * 1_000);
    const { id } = all[0]!.note;
    expect(unwrap(await view.call('recordings.open', { id }))).toMatchObject({ whole: false });
    expect((await soundOf(view, id)).subarray(0, 4)).toEqual(webm(4));
    unwrap(await view.call('recordings.remove', { id }));
    host!.close();
    host = undefined;
  }
});

describe('a full disk', () => {
  const full = (): never => {
    throw Object.assign(new Error('no space'), { code: 'ENOSPC' });
  };

  it('is told before anything is heard', async () => {
    const view = open();
    vi.spyOn(fs, 'statfsSync').mockReturnValue({ bavail: 100, bsize: 4096 } as never);
    const begun = await view.call('recordings.begin', { about, kind: 'webm' });
    expect(begun).toMatchObject({
      ok: false,
      problems: [{ code: 'recording-not-kept', message: /disk is full/ }],
    });
    expect(fs.readdirSync(path.join(root, 'recordings'))).toEqual([]);
  });

  it('in the middle: what was kept before stays, and ends as a whole recording', async () => {
    const view = open();
    const { note } = unwrap(await view.call('recordings.begin', { about, kind: 'webm' }));
    const sound = webm(3_000);
    unwrap(await view.call('recordings.add', stretch(note.id, sound, 0, 1_000)));
    const write = fs.writeSync;
    // Half of it fits.
    vi.spyOn(fs, 'writeSync')
      .mockImplementationOnce(((handle: number, bytes: Buffer, at: number, n: number, to: number) =>
        write(handle, bytes, at, n / 2, to)) as never)
      .mockImplementationOnce(full);
    const refused = await view.call('recordings.add', stretch(note.id, sound, 1_000, 3_000));
    expect(refused).toMatchObject({ ok: false, problems: [{ message: /disk is full/ }] });
    const ended = unwrap(await view.call('recordings.end', { id: note.id, seconds: 4 }));
    expect(ended).toMatchObject({ bytes: 1_000, state: 'whole', note: { seconds: 4 } });
    expect(await soundOf(view, note.id)).toEqual(sound.subarray(0, 1_000));
  });
});

describe('a file that is not as it was recorded', () => {
  let view: Services;
  let id: string;
  beforeEach(async () => {
    view = open();
    id = (await record(view, webm(4_000))).note.id;
  });
  const state = async () => (await view.call('recordings.list', {})).all[0]?.state;

  it('cut short is said to be, and plays as far as it goes', async () => {
    fs.truncateSync(fileOf('.webm'), 1_500);
    expect(await state()).toBe('changed');
    expect(unwrap(await view.call('recordings.open', { id }))).toEqual({
      ...{ bytes: 1_500, kind: 'webm', whole: false },
    });
    expect(await soundOf(view, id)).toHaveLength(1_500);
  });

  it('with one changed bit is told when it is opened', async () => {
    const sound = fs.readFileSync(fileOf('.webm'));
    sound[2_000]! ^= 4;
    fs.writeFileSync(fileOf('.webm'), sound);
    expect(unwrap(await view.call('recordings.open', { id })).whole).toBe(false);
  });

  it('of another kind than its name is played as what it is; what is no sound is refused in words', async () => {
    fs.writeFileSync(fileOf('.webm'), 'OggS, whatever its name says');
    expect(unwrap(await view.call('recordings.open', { id })).kind).toBe('ogg');
    fs.writeFileSync(fileOf('.webm'), '<script>alert(1)</script>');
    const refused = await view.call('recordings.open', { id });
    expect(refused).toMatchObject({ ok: false, problems: [{ code: 'recording-unplayable' }] });
  });

  it.each([
    ['gone', (file: string) => fs.rmSync(file)],
    ['cut', (file: string) => fs.truncateSync(file, 30)],
    ['of the wrong type', (file: string) => fs.writeFileSync(file, '[3]')],
    ['huge', (file: string) => fs.writeFileSync(file, `{"a":"${'x'.repeat(30_000)}"}`)],
    ['empty', (file: string) => fs.writeFileSync(file, '')],
  ])('whose note is %s is named with its cure, and stays as it is', async (_, spoil) => {
    spoil(fileOf('.json'));
    const { all, problems } = await view.call('recordings.list', {});
    expect(all).toEqual([]);
    expect(problems).toMatchObject([{ message: /Harbour Lights\.webm/, cure: /any player/ }]);
    expect(fs.readFileSync(fileOf('.webm'))).toEqual(webm(4_000));
  });

  it('and folders or other things beside it are left alone', async () => {
    fs.mkdirSync(path.join(root, 'recordings', 'a folder.webm'));
    fs.writeFileSync(path.join(root, 'recordings', 'notes.txt'), 'mine');
    expect(await view.call('recordings.list', {})).toMatchObject({ all: [{}], problems: [] });
  });
});

it('in a folder that is not there any more nothing is begun, and it is said', async () => {
  const view = open();
  fs.renameSync(root, `${root}-moved`);
  try {
    const begun = await view.call('recordings.begin', { about, kind: 'webm' });
    expect(begun).toMatchObject({ ok: false, problems: [{ message: /folder is not there/ }] });
    expect(fs.existsSync(root)).toBe(false);
  } finally {
    fs.renameSync(`${root}-moved`, root);
  }
});
