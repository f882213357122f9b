// The store under bad luck: full and read-only disks, a folder that goes away, files from elsewhere.
// Kills, moves and flipped bits by the hundred are in `campaign/`.
import fs from 'node:fs';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { StandingProblem } from '../../app/services/contract/host.ts';
import { rescue } from '../../app/services/machine/rescue.ts';
import type { ServiceHost } from '../../app/services/machine/host.ts';
import {
  openTestServices,
  passEntry,
  sampleChart,
  sampleLadder,
  temporaryDirectory,
  viewOf,
} from '../unit/services/samples.ts';
import { needsUnix } from '../support/needs.ts';

let root: string;
let host: ServiceHost | undefined;
beforeEach(() => {
  root = temporaryDirectory();
});
afterEach(() => {
  host?.close();
  host = undefined;
  fs.rmSync(root, { recursive: true, force: true });
});

function open() {
  host = openTestServices(root);
  return viewOf(host);
}

const idsIn = async (view: ReturnType<typeof open>): Promise<string[]> =>
  (await view.call('log.passes', {})).passes.map((pass) => pass.id);

describe('a full disk', () => {
  /** No page more than the database has now; `undefined` takes the limit away. */
  const allowNoMore = (full: boolean): void => {
    const { database } = host!.log()!;
    const { page_count } = database.prepare('pragma page_count').get() as { page_count: number };
    database.exec(`pragma max_page_count = ${full ? page_count : 1_000_000}`);
  };
  /** So much that it cannot fit into pages that are there already. */
  const large = (id: string) =>
    passEntry(id, {
      unit: { key: 'form', name: 'x', fingerprint: id },
      mood: 'm'.repeat(50_000),
    } as never);

  it('keeps passes in memory with a standing message, and writes them when there is room', async () => {
    const view = open();
    const told: (readonly StandingProblem[])[] = [];
    host!.listen((event, detail) => {
      if (event === 'problems') told.push(detail as readonly StandingProblem[]);
    });
    await view.call('log.append', { entries: [passEntry('before')] });
    allowNoMore(true);
    const kept = await view.call('log.append', { entries: [large('a')] });
    expect(kept).toMatchObject({ stored: 0, pending: 1, problem: { code: 'log-unwritable' } });
    expect(kept.problem?.message).toContain('the disk is full');
    const again = await view.call('log.append', { entries: [large('b')] });
    expect(again).toMatchObject({ stored: 0, pending: 2 });
    expect((await idsIn(view)).toSorted()).toEqual(['a', 'b', 'before']);
    expect((await view.call('host.info', {})).problems).toHaveLength(1);

    allowNoMore(false);
    const after = await view.call('log.append', { entries: [passEntry('c')] });
    expect(after).toEqual({ stored: 1, pending: 0 });
    expect(told.map((problems) => problems.length)).toEqual([1, 0]);

    host!.close();
    const fresh = open();
    expect((await idsIn(fresh)).toSorted()).toEqual(['a', 'b', 'before', 'c']);
    expect((await fresh.call('host.info', {})).problems).toEqual([]);
  });

  it('hands over what could not be written when the program ends, and takes it back at the next start', async () => {
    const view = open();
    allowNoMore(true);
    await view.call('log.append', { entries: [large('a')], desk: 'st-1' });
    const left = host!.close();
    host = undefined;
    expect(left).toEqual([{ desk: 'st-1', entries: [large('a')] }]);
    const sentence = rescue(left, root, new Date('2031-04-05T18:20:00Z'))!;
    const file = /kept in (.*) and are/.exec(sentence)![1]!;
    expect(path.dirname(file)).toBe(path.dirname(root));
    expect(fs.statSync(file).mode & 0o777).toBe(0o600);
    const again = open();
    const { passes } = await again.call('log.passes', { desk: 'st-1' });
    expect(passes.map(({ id }) => id)).toEqual(['a']);
    expect(fs.existsSync(file)).toBe(false);
    expect(rescue([], root, new Date())).toBeUndefined();
  });
});

describe('a data folder that goes away', () => {
  const moved = (): string => `${root}-moved`;

  it('is said at once; passes wait, and are written when it is back', async () => {
    const view = open();
    await view.call('log.append', { entries: [passEntry('before')] });
    fs.renameSync(root, moved());
    const answer = await view.call('log.append', { entries: [passEntry('a')] });
    expect(answer).toMatchObject({ stored: 0, pending: 1, problem: { code: 'folder-gone' } });
    expect(answer.problem?.message).toContain(root);
    expect(fs.existsSync(root)).toBe(false);
    fs.renameSync(moved(), root);
    const back = await view.call('log.append', { entries: [passEntry('b')] });
    expect(back).toEqual({ stored: 1, pending: 0 });
    expect((await view.call('host.info', {})).problems).toEqual([]);
    expect((await idsIn(view)).toSorted()).toEqual(['a', 'b', 'before']);
  });

  it('takes no chart, ladder or setting elsewhere, and is not made anew', async () => {
    const view = open();
    fs.renameSync(root, moved());
    const chart = await view.call('charts.save', { chart: sampleChart('k') });
    expect(chart).toMatchObject({ ok: false, problems: [{ code: 'not-saved' }] });
    const ladder = await view.call('ladders.save', sampleLadder('k', 'form'));
    expect(ladder).toMatchObject({ ok: false, problems: [{ code: 'not-saved' }] });
    await view.call('settings.write', { patch: { theme: 'dark' } });
    expect(await view.call('archives.save', {})).toMatchObject({ ok: false });
    expect(fs.existsSync(root)).toBe(false);
    fs.renameSync(moved(), root);
    await view.call('log.append', { entries: [passEntry('a')] });
    await view.call('settings.write', { patch: {} });
    expect((await view.call('host.info', {})).problems).toEqual([]);
    expect(fs.readFileSync(path.join(root, 'settings.json'), 'utf8')).toContain('dark');
  });

  it('nothing is acknowledged into another folder that took its place', async () => {
    const view = open();
    await view.call('log.append', { entries: [passEntry('before')] });
    fs.renameSync(root, moved());
    fs.mkdirSync(root);
    const answer = await view.call('log.append', { entries: [passEntry('a')] });
    expect(answer).toMatchObject({ stored: 0, pending: 1, problem: { code: 'folder-gone' } });
    fs.rmSync(root, { recursive: true });
    fs.renameSync(moved(), root);
    expect(await view.call('log.append', { entries: [passEntry('b')] })).toMatchObject({
      stored: 1,
    });
    expect((await idsIn(view)).toSorted()).toEqual(['a', 'b', 'before']);
  });
});

describe('a folder that cannot be written', () => {
  it('keeps passes, and writes them once it can', async () => {
    // A folder where the file should be: nobody can write there, not even root.
    fs.mkdirSync(path.join(root, 'log.sqlite'));
    const view = open();
    const answer = await view.call('log.append', { entries: [passEntry('a')] });
    expect(answer).toMatchObject({ stored: 0, pending: 1 });
    fs.rmdirSync(path.join(root, 'log.sqlite'));
    expect(await view.call('log.append', { entries: [passEntry('b')] })).toMatchObject({
      stored: 1,
      pending: 0,
    });
    expect(await idsIn(view)).toEqual(['a', 'b']);
  });

  it('refuses a chart that cannot be saved, and the library stays as it was', async () => {
    const view = open();
    await view.call('charts.save', { chart: sampleChart('kept', { title: 'Kept' }) });
    fs.renameSync(path.join(root, 'charts'), path.join(root, 'charts-moved'));
    fs.writeFileSync(path.join(root, 'charts'), 'a file in the way');
    const answer = await view.call('charts.save', { chart: sampleChart('new') });
    expect(answer).toMatchObject({ ok: false, problems: [{ code: 'not-saved' }] });
    fs.rmSync(path.join(root, 'charts'));
    fs.renameSync(path.join(root, 'charts-moved'), path.join(root, 'charts'));
    const { charts } = await view.call('charts.list', {});
    expect(charts.map((chart) => chart.id)).toEqual(['kept']);
  });

  it('keeps settings in force, with a standing message', async () => {
    const view = open();
    fs.mkdirSync(path.join(root, 'settings.json'));
    const { settings } = await view.call('settings.write', { patch: { theme: 'dark' } });
    expect(settings.theme).toBe('dark');
    const { problems } = await view.call('host.info', {});
    expect(problems).toMatchObject([{ code: 'settings-unwritable' }]);
    fs.rmdirSync(path.join(root, 'settings.json'));
    await view.call('settings.write', { patch: {} });
    expect((await view.call('host.info', {})).problems).toEqual([]);
    expect(fs.readFileSync(path.join(root, 'settings.json'), 'utf8')).toContain('dark');
  });

  // Windows has no such modes. Root may write everywhere, so there the test becomes nobody for a while.
  it('by its mode is told as one', needsUnix, async () => {
    fs.chmodSync(root, 0o555);
    const isRoot = process.getuid!() === 0;
    if (isRoot) process.seteuid!(NOBODY);
    try {
      const view = open();
      // It is said before anything is played.
      const { problems } = await view.call('host.info', {});
      expect(problems).toMatchObject([{ code: 'log-unwritable' }]);
      const answer = await view.call('log.append', { entries: [passEntry('a')] });
      expect(answer.problem?.message).toContain('may not write');
    } finally {
      if (isRoot) process.seteuid!(0);
      fs.chmodSync(root, 0o700);
    }
  });
});

/** The usual number of the user that owns nothing (common practice, no source). */
const NOBODY = 65_534;

describe('files that cannot be understood', () => {
  const stores = ['settings.json', 'ladders.json', 'students.json'];
  const contents: readonly (readonly [string, string])[] = [
    ['empty', ''],
    ['truncated', '{"schemaVersion":1,"items":[{"id"'],
    ['binary', '\u0000\u0001\uFFFD'],
    ['a list', '[]'],
    ['deep', '['.repeat(100_000)],
    ['without a version', '{"items":[],"removed":[]}'],
    ['with a nonsense version', '{"schemaVersion":"one","items":[],"removed":[]}'],
  ];

  it.each(stores.flatMap((store) => contents.map(([what, text]) => [store, what, text] as const)))(
    '%s, %s: is set aside, named, and the program starts',
    async (store, _what, text) => {
      fs.writeFileSync(path.join(root, store), text);
      const view = open();
      const { problems } = await view.call('host.info', {});
      expect(problems).toMatchObject([{ code: 'store-set-aside' }]);
      const aside = fs.readdirSync(path.join(root, 'set-aside'));
      expect(aside).toHaveLength(1);
      expect(problems[0]!.message).toContain(aside[0]!);
      expect(fs.readFileSync(path.join(root, 'set-aside', aside[0]!), 'utf8')).toBe(text);
    },
  );

  it.each(stores)('%s of a newer version is left as it is, whatever is called', async (store) => {
    const text = '{"schemaVersion":7,"items":{"new":"shape"}}';
    fs.writeFileSync(path.join(root, store), text);
    const view = open();
    await view.call('settings.write', { patch: { theme: 'dark' } });
    await view.call('charts.save', { chart: sampleChart('x') });
    const { problems } = await view.call('host.info', {});
    expect(problems.map((problem) => problem.code)).toContain('store-newer');
    expect(fs.readFileSync(path.join(root, store), 'utf8')).toBe(text);
  });
});
