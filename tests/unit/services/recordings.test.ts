// Recordings in the data folder: what is on disk while one goes on, what is told of it afterwards, and what is refused.
import fs from 'node:fs';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { unwrap } from '../../../app/core/base/result.ts';
import { MAX_RECORDING_BYTES } from '../../../app/core/exchange/recording.ts';
import type { Services } from '../../../app/services/contract/contract.ts';
import type { ServiceHost } from '../../../app/services/machine/host.ts';
import { about, record, soundOf, stretch, webm } from '../../support/recordings.ts';
import { openTestServices, temporaryDirectory, viewOf } from './samples.ts';

let root: string;
let host: ServiceHost;
let view: Services;
const open = (): void => {
  host = openTestServices(root, { newId: () => crypto.randomUUID() });
  view = viewOf(host);
};
const files = (): string[] => fs.readdirSync(path.join(root, 'recordings')).toSorted();

beforeEach(() => {
  root = temporaryDirectory();
  open();
});
afterEach(() => {
  host.close();
  fs.rmSync(root, { recursive: true, force: true });
});

describe('a recording', () => {
  it('makes no folder before anybody records', async () => {
    expect(await view.call('recordings.list', {})).toEqual({ all: [], problems: [] });
    expect(fs.existsSync(path.join(root, 'recordings'))).toBe(false);
  });

  it('is a plain file with date and title, closed to others, and a note beside it', async () => {
    const { note } = await record(view, webm(5_000));
    const [json, sound] = files();
    expect(sound).toMatch(/^2031-04-0\d \d\d\.\d\d Harbour Lights\.webm$/);
    expect(json).toBe(sound!.replace('.webm', '.json'));
    for (const file of files()) {
      const { mode } = fs.statSync(path.join(root, 'recordings', file));
      if (process.platform !== 'win32') expect(mode & 0o777).toBe(0o600);
    }
    expect(fs.readFileSync(path.join(root, 'recordings', sound!))).toEqual(webm(5_000));
    host.close();
    open();
    expect(await view.call('recordings.list', {})).toEqual({
      all: [{ note, file: sound, bytes: 5_000, state: 'whole' }],
      problems: [],
    });
    expect(note).toMatchObject({ ...about, seconds: 12 });
    expect(await soundOf(view, note.id)).toEqual(webm(5_000));
  });

  it('two of one minute stand beside each other', async () => {
    await record(view, webm(100));
    await record(view, webm(200));
    expect(files().filter((name) => name.endsWith('.webm'))).toEqual([
      expect.stringMatching(/ \(2\)\.webm$/),
      expect.stringMatching(/Lights\.webm$/),
    ]);
  });

  it('takes a stretch once, however often it comes, and no stretch after a gap', async () => {
    const { note } = unwrap(await view.call('recordings.begin', { about, kind: 'webm' }));
    const sound = webm(300);
    const add = (from: number, to: number) =>
      view.call('recordings.add', stretch(note.id, sound, from, to));
    unwrap(await add(0, 100));
    unwrap(await add(0, 100));
    expect(await add(200, 300)).toMatchObject({ ok: false });
    unwrap(await add(100, 300));
    expect((await view.call('recordings.list', {})).all[0]).toMatchObject({ state: 'on' });
    const { bytes } = unwrap(await view.call('recordings.end', { id: note.id, seconds: 1 }));
    expect(bytes).toBe(300);
    expect(await soundOf(view, note.id)).toEqual(sound);
    expect(await add(300, 300)).toMatchObject({ ok: false });
  });

  it('reads as broken off where its window was closed, and as going on when the next stretch comes', async () => {
    let clock = Date.parse('2031-04-05T18:20:00Z');
    host.close();
    host = openTestServices(root, { now: () => new Date(clock) });
    view = viewOf(host);
    const sound = webm(300);
    const { note } = unwrap(await view.call('recordings.begin', { about, kind: 'webm' }));
    unwrap(await view.call('recordings.add', stretch(note.id, sound, 0, 100)));
    const state = async () => (await view.call('recordings.list', {})).all[0]!.state;
    clock += 29_000;
    expect(await state()).toBe('on');
    clock += 2_000;
    expect(await state()).toBe('broken-off');
    expect(await soundOf(view, note.id)).toEqual(sound.subarray(0, 100));
    // It was a pause: it goes on, and ends as whole.
    unwrap(await view.call('recordings.add', stretch(note.id, sound, 100, 300)));
    expect(await state()).toBe('on');
    unwrap(await view.call('recordings.end', { id: note.id, seconds: 3 }));
    expect(await state()).toBe('whole');
  });

  it('is read anew once its note has changed, and is gone where its sound was taken away', async () => {
    const { note } = await record(view, webm(100));
    const seen = async () => (await view.call('recordings.list', {})).all;
    expect((await seen())[0]!.note.remark).toBeUndefined();
    const [json, sound] = files().map((name) => path.join(root, 'recordings', name));
    const text = JSON.parse(fs.readFileSync(json!, 'utf8')) as Record<string, unknown>;
    fs.writeFileSync(json!, JSON.stringify({ ...text, remark: 'by hand' }));
    expect((await seen())[0]!.note.remark).toBe('by hand');
    fs.rmSync(sound!);
    expect(await seen()).toEqual([]);
    expect(await view.call('recordings.open', { id: note.id })).toMatchObject({
      ok: false,
      problems: [{ code: 'recording-gone' }],
    });
  });

  it('keeps the one pass that is heard, and the tempo at which it was played', async () => {
    const one = { ...about, pass: 'p-7' };
    const { note } = unwrap(await view.call('recordings.begin', { about: one, kind: 'webm' }));
    unwrap(await view.call('recordings.add', stretch(note.id, webm(100))));
    const tempo = { bpm: 97, beat: 'quarter' } as const;
    unwrap(await view.call('recordings.end', { id: note.id, seconds: 3, tempo }));
    const [kept] = (await view.call('recordings.list', {})).all;
    expect(kept!.note).toMatchObject({ pass: 'p-7', tempo });
  });

  it('of the other kind is taken, too, and nothing that is neither', async () => {
    await record(view, Buffer.from('OggS and so on'), 'ogg');
    const { note } = unwrap(await view.call('recordings.begin', { about, kind: 'webm' }));
    const page = Buffer.from('<html>');
    const refused = await view.call('recordings.add', stretch(note.id, page));
    expect(refused).toMatchObject({ ok: false, problems: [{ code: 'recording-no-sound' }] });
    const ended = await view.call('recordings.end', { id: note.id, seconds: 0 });
    expect(ended).toMatchObject({ ok: false, problems: [{ code: 'recording-empty' }] });
    expect(files()).toHaveLength(2);
  });

  it('ends where it is as large as one may be, and keeps what there is', async () => {
    const { note } = unwrap(await view.call('recordings.begin', { about, kind: 'webm' }));
    const sound = webm(3_000_000);
    let from = 0;
    for (; from + sound.length <= MAX_RECORDING_BYTES; from += sound.length)
      unwrap(await view.call('recordings.add', { ...stretch(note.id, sound), from }));
    const last = await view.call('recordings.add', { ...stretch(note.id, sound), from });
    expect(last).toMatchObject({ ok: false, problems: [{ code: 'recording-too-large' }] });
    const { bytes } = unwrap(await view.call('recordings.end', { id: note.id, seconds: 9 }));
    expect(bytes).toBe(from);
  });

  it('takes a remark, loses it again, and is thrown away for good', async () => {
    const { note } = await record(view, webm(100));
    const { id } = note;
    const named = unwrap(await view.call('recordings.remark', { id, remark: ' slow, at last ' }));
    expect(named.note.remark).toBe('slow, at last');
    const plain = unwrap(await view.call('recordings.remark', { id, remark: '' }));
    expect(plain.note).toEqual(note);
    unwrap(await view.call('recordings.remove', { id }));
    expect(files()).toEqual([]);
    for (const name of ['recordings.open', 'recordings.remove'] as const)
      expect(await view.call(name, { id })).toMatchObject({ ok: false });
  });
});
