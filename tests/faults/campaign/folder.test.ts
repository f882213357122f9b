// The data folder moved, replaced, robbed of its lock, unmounted, and on a full disk: said at once, and nothing is lost.
import { spawnSync } from 'node:child_process';
import fs from 'node:fs';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { AppendAnswer } from '../../../app/services/contract/contract.ts';
import { demoCharts } from '../../../app/services/machine/demo-charts.ts';
import type { ServiceHost } from '../../../app/services/machine/host.ts';
import { fullFlaw } from '../../../app/services/machine/log/check-log.ts';
import { rescue } from '../../../app/services/machine/rescue.ts';
import { dice } from '../../bench/honest/players.ts';
import {
  viewOf,
  openTestServices,
  passEntry,
  temporaryDirectory,
} from '../../unit/services/samples.ts';
import { SCALE, told } from './scale.ts';
import { needs } from '../../support/needs.ts';

let above: string;
let root: string;
let host: ServiceHost | undefined;
beforeEach(() => {
  above = temporaryDirectory();
  root = path.join(above, 'practice');
});
afterEach(() => {
  host?.close();
  host = undefined;
  fs.rmSync(above, { recursive: true, force: true });
});

function open() {
  host = openTestServices(root, { demoCharts });
  return viewOf(host);
}
type View = ReturnType<typeof open>;
const ids = async (view: View): Promise<string[]> =>
  (await view.call('log.passes', {})).passes.map(({ id }) => id);

/** What happens to the folder, and how it is undone. */
const HAPPENINGS: Readonly<Record<string, () => () => void>> = {
  moved: () => {
    fs.renameSync(root, `${root}-moved`);
    return () => fs.renameSync(`${root}-moved`, root);
  },
  replaced: () => {
    fs.renameSync(root, `${root}-moved`);
    fs.mkdirSync(root);
    return () => {
      fs.rmSync(root, { recursive: true });
      fs.renameSync(`${root}-moved`, root);
    };
  },
  'replaced by a copy': () => {
    fs.renameSync(root, `${root}-moved`);
    fs.cpSync(`${root}-moved`, root, { recursive: true });
    return () => undefined;
  },
  'robbed of its lock': () => {
    fs.rmSync(path.join(root, 'lock.sqlite'));
    return () => undefined;
  },
  'replaced by a file': () => {
    fs.renameSync(root, `${root}-moved`);
    fs.writeFileSync(root, '');
    return () => {
      fs.rmSync(root);
      fs.renameSync(`${root}-moved`, root);
    };
  },
};

it(
  `a folder moved, replaced or robbed of its lock ${SCALE.moves} times: what is said to be stored is, and the rest waits`,
  async () => {
    const view = open();
    const roll = dice(20310406);
    const kinds = Object.keys(HAPPENINGS);
    const all: string[] = [];
    let waited = 0;
    const append = async (): Promise<AppendAnswer> => {
      const id = `p${all.length}`;
      all.push(id);
      return view.call('log.append', { entries: [passEntry(id)] });
    };
    for (let n = 0; n < SCALE.moves; n++) {
      expect(await append(), `before move ${n}`).toEqual({ stored: 1, pending: 0 });
      const kind = kinds[Math.floor(roll() * kinds.length)]!;
      const undo = HAPPENINGS[kind]!();
      const answer = await append();
      if (answer.stored === 0) {
        waited++;
        expect(answer.problem?.message, kind).toContain(root);
        expect(answer.problem?.cure, kind).toMatch(/folder/);
      }
      // Nothing is lost from sight meanwhile, wherever it stands.
      expect(await ids(view), kind).toContain(all.at(-1));
      undo();
      expect(await append(), `after ${kind}`).toEqual({ stored: 1, pending: 0 });
      expect((await view.call('host.info', {})).problems, `after ${kind}`).toEqual([]);
      fs.rmSync(`${root}-moved`, { recursive: true, force: true });
    }
    host!.close();
    const again = open();
    expect((await ids(again)).toSorted()).toEqual(all.toSorted());
    expect(fullFlaw(host!.log()!.database)).toBeUndefined();
    told(
      `moved, replaced or robbed of its lock ${SCALE.moves} times: ${all.length} passes, ${waited} of them waited, 0 lost`,
    );
  },
  SCALE.milliseconds,
);

/** A small disk of its own; undefined where this user may not mount one. Linux alone has such disks. */
function smallDisk(at: string, kilobytes: number): { readonly unmount: () => void } | undefined {
  fs.mkdirSync(at, { recursive: true });
  const mount = ['-t', 'tmpfs', '-o', `size=${kilobytes}k,mode=700`, 'tmpfs', at];
  if (process.platform !== 'linux' || spawnSync('mount', mount).status !== 0) return undefined;
  return { unmount: () => void spawnSync('umount', ['-l', at]) };
}
const canMount = ((): boolean => {
  const at = temporaryDirectory();
  const disk = smallDisk(at, 64);
  disk?.unmount();
  fs.rmSync(at, { recursive: true, force: true });
  return disk !== undefined;
})();

/** Fills the disk to its last byte; the answer makes room again. */
function fillUp(): () => void {
  const file = path.join(root, 'filler');
  const handle = fs.openSync(file, 'w');
  try {
    for (let size = 65_536; size >= 1; size = Math.floor(size / 2)) {
      try {
        for (;;) fs.writeSync(handle, Buffer.alloc(size, 1));
      } catch {
        // Smaller pieces may still fit.
      }
    }
  } finally {
    fs.closeSync(handle);
  }
  return () => fs.rmSync(file);
}

/** Too much for pages that are there already. */
const large = (id: string) =>
  passEntry(id, {
    unit: { key: 'form', name: 'x', fingerprint: id },
    mood: 'm'.repeat(60_000),
  } as never);

describe('a disk of its own', needs(canMount, 'this user may not mount small disks'), () => {
  let disk: { readonly unmount: () => void };
  beforeEach(() => {
    disk = smallDisk(root, 6_000)!;
  });
  afterEach(() => {
    host?.close();
    host = undefined;
    disk.unmount();
    spawnSync('umount', ['-l', path.join(above, 'kept')], { stdio: 'ignore' });
  });

  it('full at the start: it starts, says so before the first climb, keeps what is played, and writes it when there is room', async () => {
    const makeRoom = fillUp();
    const view = open();
    const { problems } = await view.call('host.info', {});
    expect(problems.length).toBeGreaterThan(0);
    expect(problems.map(({ message }) => message).join(' ')).toMatch(/full|written/);
    const kept = await view.call('log.append', { entries: [passEntry('a')] });
    expect(kept).toMatchObject({ stored: 0, pending: 1 });
    expect(kept.problem?.message).toMatch(/disk is full/);
    makeRoom();
    expect(await view.call('log.append', { entries: [passEntry('b')] })).toEqual({
      stored: 1,
      pending: 0,
    });
    host!.close();
    expect(await ids(open())).toEqual(['a', 'b']);
  });

  it('full at the start of a folder with a log: what is there is shown, and nothing is made worse', async () => {
    const first = open();
    for (const id of ['x', 'y']) await first.call('log.append', { entries: [passEntry(id)] });
    host!.close();
    const makeRoom = fillUp();
    const view = open();
    expect(await ids(view)).toEqual(['x', 'y']);
    const kept = await view.call('log.append', { entries: [large('a')] });
    expect(kept).toMatchObject({ stored: 0, pending: 1, problem: { code: 'log-unwritable' } });
    makeRoom();
    expect(await view.call('log.append', { entries: [passEntry('b')] })).toMatchObject({
      pending: 0,
    });
    host!.close();
    expect((await ids(open())).toSorted()).toEqual(['a', 'b', 'x', 'y']);
    expect(fullFlaw(host!.log()!.database)).toBeUndefined();
  });

  it('full in the middle: passes wait, a chart and settings are refused or held in words, and all is written later', async () => {
    const view = open();
    const stored: string[] = [];
    const chart = demoCharts()[0]!;
    for (let n = 0; ; n++) {
      const answer = await view.call('log.append', { entries: [large(`p${n}`)] });
      stored.push(`p${n}`);
      if (answer.stored === 0) break;
    }
    const makeRoom = fillUp();
    const refused = await view.call('charts.save', { chart: { ...chart, title: 'One More' } });
    expect(refused).toMatchObject({ ok: false, problems: [{ code: 'not-saved' }] });
    const { settings } = await view.call('settings.write', { patch: { theme: 'dark' } });
    expect(settings.theme).toBe('dark');
    const { problems } = await view.call('host.info', {});
    expect(problems.map(({ code }) => code).sort()).toEqual([
      'log-unwritable',
      'settings-unwritable',
    ]);
    expect((await view.call('charts.open', { id: chart.id })).ok).toBe(true);
    makeRoom();
    fs.rmSync(path.join(root, 'charts'), { recursive: true });
    const waiting = host!.close();
    // What still found no room is put beside the folder, and taken back.
    rescue(waiting, root, new Date('2031-04-05T18:20:00Z'));
    disk.unmount();
    expect(fs.readdirSync(above).filter((name) => name.includes('waiting')).length).toBe(
      waiting.length > 0 ? 1 : 0,
    );
    told(`filled a small disk with ${stored.length} large passes: ${waiting.length} put beside it`);
  });

  it('unmounted: it is said, passes wait, and are written when the disk is back', async () => {
    const kept = path.join(above, 'kept');
    const view = open();
    expect(await view.call('log.append', { entries: [passEntry('a')] })).toMatchObject({
      stored: 1,
    });
    // The disk moves away, and an empty folder is left at its place, as after `umount`.
    fs.mkdirSync(kept);
    spawnSync('mount', ['--move', root, kept]);
    const gone = !fs.existsSync(path.join(root, 'log.sqlite'));
    expect(gone).toBe(true);
    const answer = await view.call('log.append', { entries: [passEntry('b')] });
    expect(answer).toMatchObject({ stored: 0, pending: 1, problem: { code: 'folder-gone' } });
    // Nothing is made in the empty folder.
    expect(fs.readdirSync(root)).toEqual([]);
    expect(await ids(view)).toEqual(['a', 'b']);
    fs.rmSync(root, { recursive: true });
    fs.mkdirSync(root);
    spawnSync('mount', ['--move', kept, root]);
    expect(await view.call('log.append', { entries: [passEntry('c')] })).toEqual({
      stored: 1,
      pending: 0,
    });
    host!.close();
    expect(await ids(open())).toEqual(['a', 'b', 'c']);
  });
});
