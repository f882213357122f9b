// Who is removed for good leaves nothing in the data folder: no page, no pass, no copy of either.
import fs from 'node:fs';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Student } from '../../../app/core/progress/assignment.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import type { Services } from '../../../app/services/contract/contract.ts';
import type { ServiceHost } from '../../../app/services/machine/host.ts';
import { openTestServices, passEntry, temporaryDirectory, viewOf } from './samples.ts';

const AT = '2031-04-01T10:00:00Z';
let root = '';
let host: ServiceHost;
let view: Services;

beforeEach(() => {
  root = temporaryDirectory();
  open();
});
afterEach(() => {
  host.close();
  fs.rmSync(root, { recursive: true });
});
function open(): void {
  host = openTestServices(root);
  view = viewOf(host);
}
function restart(): void {
  host.close();
  open();
}

const student = (id: string, name: string): Student => ({
  ...{ id, name, since: AT, assignments: [] },
  comments: [{ id: `c-${id}`, at: AT, by: 'Ms Tern', text: `Said to ${name}` }],
});

/** Ada with two passes, Ben and the teacher with one each, and copies of it all. */
async function taught(): Promise<void> {
  for (const [id, name] of [
    ['id-of-ada', 'Adalind'],
    ['id-of-ben', 'Benno'],
  ] as const)
    unwrap(await view.call('students.save', { student: student(id, name) }));
  await view.call('log.append', { entries: [passEntry('own-1')] });
  await view.call('log.append', { entries: [passEntry('ben-1')], desk: 'id-of-ben' });
  const climb = { session: 'sitting-of-adalind' };
  const entries = [passEntry('pass-1-of-ada', climb), passEntry('pass-2-of-ada', climb)];
  const word = { amends: 'pass-1-of-ada', at: AT, verdict: 'missed', source: 'teacher' } as const;
  await view.call('log.append', {
    desk: 'id-of-ada',
    entries: [...entries, { kind: 'amendment', amendment: word }],
  });
  await host.log()!.backUp(new Date(AT));
  restart();
}

/** Files of the data folder in which one of her traces stands. */
const tracesIn = (folder: string): readonly string[] =>
  fs
    .readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map(({ parentPath, name }) => path.join(parentPath, name))
    .filter((file) => /of-ada|adalind/i.test(fs.readFileSync(file, 'latin1')))
    .map((file) => path.relative(folder, file));

async function removeAda(): Promise<void> {
  // What was made of her passes waits to be kept in the log.
  const of = [{ chart: 'k-1', bars: 'f-verse' }];
  await view.call('log.worst', { desk: 'id-of-ada', of, latest: 10 });
  unwrap(await view.call('students.remove', { id: 'id-of-ada' }));
  unwrap(await view.call('students.removeForGood', { id: 'id-of-ada' }));
  // The copies follow one after the other.
  await host.log()!.backUp(new Date(AT));
}

describe('a person removed for good', () => {
  it('leaves nothing in the data folder, also in its copies; everybody else stays', async () => {
    await taught();
    expect(tracesIn(root).length).toBeGreaterThan(3);
    await removeAda();
    const { students, removed } = await view.call('students.list', {});
    expect([students.map(({ name }) => name), removed]).toEqual([['Benno'], []]);
    host.close();
    expect(tracesIn(root)).toEqual([]);
    open();
    const logs = [undefined, 'id-of-ben', 'id-of-ada'].map((desk) =>
      view.call('log.passes', desk === undefined ? {} : { desk }),
    );
    const ids = (await Promise.all(logs)).map(({ passes }) => passes.map(({ id }) => id));
    expect(ids).toEqual([['own-1'], ['ben-1'], []]);
    expect(await view.call('host.info', {})).toMatchObject({ problems: [] });
  });

  it('does not come back with an earlier file, nor under the same identity', async () => {
    await taught();
    const before = fs.readFileSync(path.join(root, 'log.sqlite'));
    await removeAda();
    const again = await view.call('students.save', { student: student('id-of-ada', 'Adalind') });
    expect(again).toMatchObject({ ok: false, problems: [{ code: 'gone-for-good' }] });
    expect((await view.call('students.restore', { id: 'id-of-ada' })).ok).toBe(false);
    // A log from before, as a backup program brings it back.
    host.close();
    for (const end of ['-wal', '-shm'])
      fs.rmSync(path.join(root, `log.sqlite${end}`), { force: true });
    fs.writeFileSync(path.join(root, 'log.sqlite'), before);
    open();
    await host.log()!.backUp(new Date(AT));
    host.close();
    expect(tracesIn(root)).toEqual([]);
    open();
    expect((await view.call('log.passes', { desk: 'id-of-ben' })).passes).toHaveLength(1);
  });

  it('does not come back with a file of everything that was saved before', async () => {
    await taught();
    const saved = unwrap(await view.call('archives.save', {}));
    const whole = fs.readFileSync(path.join(root, 'archives', 'made.zip'));
    expect(whole.length).toBe(saved.bytes);
    await removeAda();
    expect(fs.existsSync(path.join(root, 'archives', 'made.zip'))).toBe(false);
    unwrap(await view.call('archives.give', { from: 0, base64: whole.toString('base64') }));
    const look = unwrap(await view.call('archives.look', {}));
    const days = look.days.map(({ desk, day }) => ({ desk, day }));
    const choice = { charts: [], days, documents: true, replace: true, recordings: false };
    unwrap(await view.call('archives.bringIn', choice));
    await view.call('archives.putAway', {});
    await host.log()!.backUp(new Date(AT));
    host.close();
    expect(tracesIn(root)).toEqual([]);
    open();
  });

  it('is whoever was taken off before the last fifty', async () => {
    for (let n = 1; n <= 51; n++) {
      unwrap(await view.call('students.save', { student: student(`id-${n}`, `Name ${n}`) }));
      await view.call('log.append', { entries: [passEntry(`p-${n}`)], desk: `id-${n}` });
      unwrap(await view.call('students.remove', { id: `id-${n}` }));
    }
    const { removed } = await view.call('students.list', {});
    expect([removed.length, removed.at(-1)!.name]).toEqual([50, 'Name 2']);
    const counts = ['id-1', 'id-2'].map(
      async (desk) => (await view.call('log.passes', { desk })).passes.length,
    );
    expect(await Promise.all(counts)).toEqual([0, 1]);
  });
});
