// The store under bad luck: killed processes, full and read-only disks, two programs, files from elsewhere.
import type { ChildProcess } from 'node:child_process';
import { spawn } from 'node:child_process';
import fs from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { servicesOver } from '../../app/services/client/client.ts';
import type { StandingProblem } from '../../app/services/contract/contract.ts';
import { rescue } from '../../app/services/machine/rescue.ts';
import type { ServiceHost } from '../../app/services/machine/host.ts';
import type { Disk } from '../../app/services/machine/store/journal.ts';
import { realDisk } from '../../app/services/machine/store/journal.ts';
import {
  openTestServices,
  passEntry,
  sampleChart,
  temporaryDirectory,
} from '../unit/services/samples.ts';

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

function open(disk?: Disk) {
  host = openTestServices(root, disk ? { disk } : {});
  return servicesOver({ call: host.handle, on: () => () => undefined });
}

const idsIn = async (view: ReturnType<typeof open>): Promise<string[]> =>
  (await view.call('log.history', {})).passes.map((pass) => pass.id);

describe('a process killed while it logs', () => {
  /** Ids the child was told are stored, up to the moment it was killed. */
  async function logUntilKilled(run: number): Promise<string[]> {
    const script = fileURLToPath(new URL('store-appender.ts', import.meta.url));
    const child: ChildProcess = spawn(process.execPath, [script, root, String(run)], {
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    let said = '';
    child.stdout!.on('data', (chunk: Buffer) => {
      said += chunk.toString();
      if (said.split('\n').length > 20 * (run + 1)) child.kill('SIGKILL');
    });
    await new Promise((resolve) => child.on('close', resolve));
    // A line that was cut off by the kill was not wholly said.
    return said.slice(0, said.lastIndexOf('\n')).split('\n');
  }

  it('loses nothing that was acknowledged, kill after kill', async () => {
    const acknowledged: string[] = [];
    for (let run = 0; run < 3; run++) acknowledged.push(...(await logUntilKilled(run)));
    const stored = new Set(await idsIn(open()));
    expect(acknowledged.length).toBeGreaterThan(100);
    expect(acknowledged.filter((id) => !stored.has(id))).toEqual([]);
  });
});

describe('a full disk', () => {
  /** Takes half of what is written, then has no room, until `full` is false. */
  const fillingDisk = () => {
    const disk = { full: false };
    const write: Disk['write'] = (handle, bytes, offset) => {
      if (!disk.full) return realDisk.write(handle, bytes, offset);
      if (offset > 0) throw Object.assign(new Error('ENOSPC'), { code: 'ENOSPC' });
      return realDisk.write(handle, bytes.subarray(0, bytes.length >> 1), 0);
    };
    return Object.assign(disk, { disk: { write, sync: realDisk.sync } });
  };

  it('keeps passes in memory with a standing message, and writes them when there is room', async () => {
    const filling = fillingDisk();
    const view = open(filling.disk);
    const told: (readonly StandingProblem[])[] = [];
    host!.listen((event, detail) => {
      if (event === 'problems') told.push(detail as readonly StandingProblem[]);
    });
    await view.call('log.append', { entries: [passEntry('before')] });
    filling.full = true;
    const kept = await view.call('log.append', { entries: [passEntry('a')] });
    expect(kept).toMatchObject({ stored: 0, pending: 1, problem: { code: 'log-unwritable' } });
    expect(kept.problem?.message).toContain('the disk is full');
    const again = await view.call('log.append', { entries: [passEntry('b')] });
    expect(again).toMatchObject({ stored: 0, pending: 2 });
    expect(await idsIn(view)).toEqual(['before', 'a', 'b']);
    expect((await view.call('host.info', {})).problems).toHaveLength(1);

    filling.full = false;
    const after = await view.call('log.append', { entries: [passEntry('c')] });
    expect(after).toEqual({ stored: 1, pending: 0 });
    expect(told.map((problems) => problems.length)).toEqual([1, 0]);

    host!.close();
    const fresh = open();
    expect(await idsIn(fresh)).toEqual(['before', 'a', 'b', 'c']);
    expect((await fresh.call('host.info', {})).problems).toEqual([]);
  });

  it('hands over what could not be written when the program ends', async () => {
    const filling = fillingDisk();
    filling.full = true;
    const view = open(filling.disk);
    await view.call('log.append', { entries: [passEntry('a')] });
    const left = host!.close();
    host = undefined;
    expect(left).toEqual([passEntry('a')]);
    const sentence = rescue(left, new Date('2031-04-05T18:20:00Z'))!;
    const file = /kept in (.*)\.$/.exec(sentence)![1]!;
    expect(fs.readFileSync(file, 'utf8')).toContain('"id":"a"');
    fs.rmSync(file);
    expect(rescue([], new Date())).toBeUndefined();
  });

  // /dev/full refuses every write with ENOSPC (Linux, full(4)).
  it.runIf(fs.existsSync('/dev/full'))('of the kernel’s own is told as one', async () => {
    // Reading from /dev/full never ends, so it stands there for the append only.
    const view = open();
    fs.mkdirSync(path.join(root, 'log'), { recursive: true });
    fs.symlinkSync('/dev/full', path.join(root, 'log', 'journal.jsonl'));
    const answer = await view.call('log.append', { entries: [passEntry('a')] });
    expect(answer).toMatchObject({ stored: 0, pending: 1 });
    expect(answer.problem?.cure).toContain('Make room on the disk');
    fs.rmSync(path.join(root, 'log', 'journal.jsonl'));
  });
});

describe('a folder that cannot be written', () => {
  /** A file where the folder should be: nobody can write below it, not even root. */
  const blockLog = (): void => fs.writeFileSync(path.join(root, 'log'), 'in the way');

  it('keeps passes, and writes them once it can', async () => {
    blockLog();
    const view = open();
    const answer = await view.call('log.append', { entries: [passEntry('a')] });
    expect(answer).toMatchObject({ stored: 0, pending: 1 });
    fs.rmSync(path.join(root, 'log'));
    expect(await view.call('log.append', { entries: [passEntry('b')] })).toMatchObject({
      stored: 1,
      pending: 0,
    });
    expect(await idsIn(view)).toEqual(['a', 'b']);
  });

  it('refuses a chart that cannot be saved, and the library stays as it was', async () => {
    const view = open();
    await view.call('charts.save', { chart: sampleChart('kept') });
    fs.rmSync(path.join(root, 'charts.json'));
    fs.mkdirSync(path.join(root, 'charts.json'));
    const answer = await view.call('charts.save', { chart: sampleChart('new') });
    expect(answer).toMatchObject({ ok: false, problems: [{ code: 'not-saved' }] });
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
  it.runIf(process.getuid)('by its mode is told as one', async () => {
    fs.chmodSync(root, 0o555);
    const isRoot = process.getuid!() === 0;
    if (isRoot) process.seteuid!(NOBODY);
    try {
      const view = open();
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
  const stores = ['settings.json', 'charts.json', 'ladders.json', 'students.json'];
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

  it('a chart among others: it is named and kept in the file, the others work', async () => {
    fs.writeFileSync(
      path.join(root, 'charts.json'),
      JSON.stringify({
        schemaVersion: 1,
        items: [sampleChart('good'), { id: 'strange', melody: true }],
        removed: [],
      }),
    );
    const view = open();
    const library = await view.call('charts.list', {});
    expect(library.charts.map((chart) => chart.id)).toEqual(['good']);
    expect(library.problems[0]?.message).toContain('in place 2');
    await view.call('charts.save', { chart: sampleChart('another') });
    expect(fs.readFileSync(path.join(root, 'charts.json'), 'utf8')).toContain('"melody":true');
  });
});
