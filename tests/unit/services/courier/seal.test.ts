// A shared folder locked with a passphrase: who reads what, what waits, and that nothing is lost on the way to it.
import { spawnSync } from 'node:child_process';
import fs from 'node:fs';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { Decrypter } from 'age-encryption';
import { unwrap } from '../../../../app/core/base/result.ts';
import type { Parcel } from '../../../../app/core/exchange/shared/parcel.ts';
import type { SharedPlace } from '../../../../app/services/machine/courier/shared-place.ts';
import { parcel, sharingComputers } from '../../../support/machines/places.ts';
import { temporaryDirectory } from '../samples.ts';
import { needsProgram } from '../../../support/needs.ts';

const PASSPHRASE = 'harbour sieve lantern moss eleven';
let root: string;
let folder: string;

const names = { nameOf: (id: string) => id.toUpperCase() };
// The least that the format has: a passphrase is slow to try by design, and these are not there to be safe.
const { computer, closeAll } = sharingComputers(() => root, { ...names, workFactor: 1 });
const on = (name: string, where = folder): SharedPlace => {
  const place = computer(name);
  unwrap(place.choose(where));
  return place;
};
const post = async (place: SharedPlace, ...parcels: Parcel[]): Promise<void> => {
  for (const one of parcels) unwrap(place.folder.post(one));
  await place.meet();
};
const texts = (place: SharedPlace): string[] =>
  place
    .state()
    .waiting.map(({ id }) => unwrap(place.folder.open(id)))
    .sort();
const lying = (where = folder): string[] =>
  fs
    .readdirSync(where, { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.(rungshare|age)$/.test(name))
    .sort();
const readable = (): string =>
  lying()
    .map((name) => fs.readFileSync(path.join(folder, name), 'latin1'))
    .join('\n');

beforeEach(() => {
  root = temporaryDirectory();
  folder = path.join(root, 'folder');
  fs.mkdirSync(folder);
});
afterEach(() => {
  closeAll();
  fs.rmSync(root, { recursive: true, force: true });
});

describe('a locked folder', () => {
  it('is read by those who know the passphrase, and by nobody else', async () => {
    const [teacher, student] = [on('teacher'), on('student')];
    unwrap(await teacher.lock(PASSPHRASE));
    await post(teacher, parcel('what nobody else reads'));
    expect(readable()).not.toMatch(/nobody|ada|rungsheet/);
    unwrap(await student.lock(PASSPHRASE));
    expect(texts(student)).toEqual(['what nobody else reads']);
    expect(student.state().carrier).toMatchObject({ locked: true, open: 0, unsent: 0 });
    // Also after a start, without the passphrase being asked for.
    student.close();
    const again = computer('student');
    await post(teacher, parcel('newer'));
    await again.meet();
    expect(texts(again)).toEqual(['newer']);
  });

  it('lets nothing out openly from a computer that does not know it, and says so', async () => {
    const [teacher, student] = [on('teacher'), on('student')];
    unwrap(await teacher.lock(PASSPHRASE));
    await post(teacher, parcel('one'));
    await post(student, parcel('mine', 'ada', 'report'));
    expect(student.state()).toMatchObject({
      waiting: [],
      folder,
      carrier: { locked: false, unsent: 1, closed: { code: 'shared-locked' } },
    });
    expect(readable()).not.toContain('mine');
    expect(await student.lock('not the right one at all')).toMatchObject({
      problems: [{ code: 'shared-passphrase' }],
    });
    unwrap(await student.lock(PASSPHRASE));
    expect(texts(student)).toEqual(['one']);
    await teacher.meet();
    expect(texts(teacher)).toEqual(['mine']);
  });

  it('locks what lay there openly, each computer its own, and loses none of it', async () => {
    const [teacher, student] = [on('teacher'), on('student')];
    await post(teacher, parcel('sheet'));
    await post(student, parcel('report', 'ada', 'report'));
    unwrap(await teacher.lock(PASSPHRASE));
    expect(teacher.state().carrier).toMatchObject({ open: 1 });
    expect(texts(teacher)).toEqual(['report']);
    expect(readable()).not.toContain('"sheet"');
    expect(readable()).toContain('"report"');
    unwrap(await student.lock(PASSPHRASE));
    await teacher.meet();
    expect(teacher.state().carrier).toMatchObject({ open: 0 });
    expect(readable()).not.toContain('"report"');
    expect([texts(teacher), texts(student)]).toEqual([['report'], ['sheet']]);
    expect(teacher.state().writers.map(({ segments }) => segments)).toEqual([1, 1]);
  });

  it('is locked with another passphrase, which everybody has to write then', async () => {
    const next = 'seven other words about small boats';
    const [teacher, student] = [on('teacher'), on('student')];
    unwrap(await teacher.lock(PASSPHRASE));
    unwrap(await student.lock(PASSPHRASE));
    await post(teacher, parcel('before'));
    expect(await teacher.relock('short')).toMatchObject({
      problems: [{ code: 'shared-passphrase-short' }],
    });
    unwrap(await teacher.relock(next));
    await post(teacher, parcel('after'));
    expect(teacher.state().carrier).toMatchObject({ locked: true, unsent: 0 });
    await post(student, parcel('mine', 'ada', 'report'));
    const { carrier } = student.state();
    expect(carrier).toMatchObject({ closed: { code: 'shared-passphrase' }, unsent: 1 });
    expect(await on('late').lock(PASSPHRASE)).toMatchObject({ ok: false });
    unwrap(await student.lock(next));
    await teacher.meet();
    expect([texts(student), texts(teacher)]).toEqual([['after'], ['mine']]);
  });

  it('leaves no copy on a computer that stops sharing, but what has not gone out', async () => {
    const [teacher, student] = [on('teacher'), on('student')];
    unwrap(await teacher.lock(PASSPHRASE));
    await post(teacher, parcel('sheet'));
    const copies = () => fs.readdirSync(path.join(root, 'teacher', 'shared-mirror'));
    expect(copies()).toHaveLength(1);
    fs.renameSync(folder, `${folder}-away`);
    await post(teacher, parcel('waits'));
    expect(await teacher.stop(true)).toMatchObject({ ok: false });
    unwrap(await teacher.stop(false));
    expect(copies()).toHaveLength(1);
    fs.renameSync(`${folder}-away`, folder);
    unwrap(teacher.choose(folder));
    unwrap(await teacher.lock(PASSPHRASE));
    await teacher.meet();
    unwrap(await student.lock(PASSPHRASE));
    expect(texts(student)).toEqual(['waits']);
    unwrap(await teacher.stop(false));
    expect([copies(), teacher.state().folder]).toEqual([[], undefined]);
  });

  it('wants a passphrase that protects anything', async () => {
    const teacher = on('teacher');
    expect(await teacher.lock('short')).toMatchObject({
      problems: [{ code: 'shared-passphrase-short' }],
    });
    expect(lying()).toEqual([]);
    expect(await computer('alone').lock(PASSPHRASE)).toMatchObject({
      problems: [{ code: 'shared-nothing-chosen' }],
    });
  });

  it('has a key in each student’s folder, so that it opens where that one alone is shared', async () => {
    const teacher = on('teacher');
    unwrap(teacher.folder.parted(['ada', 'ben']));
    unwrap(await teacher.lock(PASSPHRASE));
    unwrap(teacher.folder.parted(['ada', 'ben']));
    await post(teacher, parcel('for ada'), parcel('for ben', 'ben'));
    const ada = on('ada', path.join(folder, 'ADA'));
    await ada.meet();
    expect(ada.state().carrier).toMatchObject({ closed: { code: 'shared-locked' } });
    unwrap(await ada.lock(PASSPHRASE));
    expect(texts(ada)).toEqual(['for ada']);
    await post(ada, parcel('of ada', 'ada', 'report'));
    await teacher.meet();
    expect(texts(teacher)).toEqual(['of ada']);
    // Taken off, nothing of what the teacher wrote stays, not even the folder of one who wrote nothing.
    unwrap(teacher.forget('ben'));
    unwrap(teacher.forget('ada'));
    await teacher.meet();
    expect(lying().filter((name) => name.includes('teacher'))).toEqual([]);
  });

  it('leaves alone what another passphrase locks, says so, and carries the rest', async () => {
    const teacher = on('teacher');
    unwrap(teacher.folder.parted(['ada']));
    await post(teacher, parcel('for ada'));
    const ada = on('ada', path.join(folder, 'ADA'));
    unwrap(await ada.lock('a passphrase of my own'));
    await post(ada, parcel('of ada', 'ada', 'report'));
    unwrap(await teacher.lock(PASSPHRASE));
    await teacher.meet();
    expect(teacher.state().carrier).toMatchObject({ closed: { code: 'shared-passphrase' } });
    unwrap(teacher.folder.parted(undefined));
    await post(teacher, parcel('for all', 'ben'));
    const ben = on('ben');
    unwrap(await ben.lock(PASSPHRASE));
    expect(texts(ben)).toEqual(['for all']);
  });

  it('puts a key file back that somebody took away, and reads two that came at once', async () => {
    const [teacher, student] = [on('teacher'), on('student')];
    unwrap(await teacher.lock(PASSPHRASE));
    await post(teacher, parcel('one'));
    const key = path.join(folder, 'rungwise-shared', 'key.age');
    fs.renameSync(key, path.join(root, 'key.age'));
    await teacher.meet();
    expect(fs.existsSync(key)).toBe(true);
    // What a syncing program makes of it where another computer made a key at the same time.
    fs.mkdirSync(path.join(root, 'other'));
    const other = on('other', path.join(root, 'other'));
    unwrap(await other.lock(PASSPHRASE));
    await post(other, parcel('two', 'ben'));
    fs.cpSync(path.join(root, 'other', 'rungwise-shared'), path.join(folder, 'rungwise-shared'), {
      recursive: true,
      filter: (from) => path.basename(from) !== 'key.age',
    });
    fs.copyFileSync(
      path.join(root, 'other', 'rungwise-shared', 'key.age'),
      key.replace('.age', ' (conflicted copy).age'),
    );
    unwrap(await student.lock(PASSPHRASE));
    expect(texts(student)).toEqual(['one', 'two']);
  });
});

// C2SP's age specification, v1; the program is Debian's `age`.
describe('the age program', needsProgram('age', '--version'), () => {
  it('opens what is locked here with the key that the passphrase opens', async () => {
    // As slow to try as everybody's.
    const usual = sharingComputers(() => root, names);
    const teacher = usual.computer('teacher');
    unwrap(teacher.choose(folder));
    unwrap(await teacher.lock(PASSPHRASE));
    await post(teacher, parcel('in the open'));
    const decrypter = new Decrypter();
    decrypter.addPassphrase(PASSPHRASE);
    const at = (name: string): string => path.join(folder, name);
    const [sealed, keyFile] = [/\.rungshare\.age$/, /key\.age$/].map((name) =>
      lying().find((one) => name.test(one))!,
    );
    const key = await decrypter.decrypt(fs.readFileSync(at(keyFile!)), 'text');
    fs.writeFileSync(path.join(root, 'key.txt'), key);
    const asked = ['-d', '-i', path.join(root, 'key.txt'), at(sealed!)];
    expect(spawnSync('age', asked, { encoding: 'utf8' }).stdout).toContain('"text":"in the open"');
    // RFC 7914's cost stands in the file: 2^16.
    expect(fs.readFileSync(at(keyFile!), 'latin1')).toMatch(/^-> scrypt \S+ 16$/m);
    usual.closeAll();
  });
});
