// The shared folder on disk: two machines write side by side; files come late, in part, twice or spoilt.
import fs from 'node:fs';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { unwrap } from '../../../app/core/base/result.ts';
import { onDisk } from '../../../app/services/machine/shared/files.ts';
import { SharedFolder } from '../../../app/services/machine/shared/shared-folder.ts';
import { parcel } from '../../support/machines/places.ts';
import { standingClock, temporaryDirectory } from './samples.ts';

let root: string;
let folder: string;
let ids = 0;
const machine = (name: string, at?: string, files = onDisk): SharedFolder => {
  const directory = path.join(root, name);
  fs.mkdirSync(directory, { recursive: true });
  const newId = (): string => `${name}-${++ids}`;
  return new SharedFolder({ directory, now: standingClock(at), newId, files });
};
const filesOf = (): string[] =>
  fs
    .readdirSync(path.join(folder, 'rungwise-shared'), { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.rungshare'))
    .map((name) => path.join(folder, 'rungwise-shared', name))
    .sort();

beforeEach(() => {
  root = temporaryDirectory();
  folder = path.join(root, 'folder');
  fs.mkdirSync(folder);
});
afterEach(() => fs.rmSync(root, { recursive: true, force: true }));

/** A teacher and a student on one folder. */
function two(): readonly [SharedFolder, SharedFolder] {
  const pair = [machine('teacher'), machine('student', '1999-01-01T00:00:00Z')] as const;
  for (const one of pair) unwrap(one.choose(folder));
  return pair;
}

describe('a shared folder', () => {
  it('writes nothing anywhere until one was chosen', () => {
    const alone = machine('alone');
    expect(alone.state()).toEqual({ writers: [], waiting: [], written: [] });
    expect(alone.post(parcel('x')).ok).toBe(false);
    expect(alone.choose('not/whole').ok).toBe(false);
    expect(alone.choose(path.join(root, 'nowhere')).ok).toBe(false);
    expect(fs.readdirSync(folder)).toEqual([]);
  });

  it('leaves nothing of a file that could not be written whole, also where the program ended', () => {
    const [teacher, student] = two();
    unwrap(teacher.post(parcel('first')));
    unwrap(student.post(parcel('mine', 'ada', 'report')));
    const everything = () =>
      fs
        .readdirSync(folder, { recursive: true, encoding: 'utf8' })
        .filter((name) => /\.\w+$/.test(name))
        .sort();
    const before = everything();
    const [own, others] = before.map((name) => path.join(folder, path.dirname(name)));
    const inTheWay = path.join(own!, 'a folder.rungshare');
    fs.mkdirSync(inTheWay);
    expect(() => onDisk.write(inTheWay, 'text')).toThrow();
    fs.rmdirSync(inTheWay);
    expect(everything()).toEqual(before);
    const halves = [own!, others!].map((home) => path.join(home, '000009-aa.rungshare.part'));
    for (const half of halves) fs.writeFileSync(half, 'half');
    for (const one of [teacher, student]) unwrap(one.post(parcel('second')));
    expect(everything().filter((name) => name.endsWith('.part'))).toEqual([]);
    expect(everything()).toHaveLength(before.length + 2);
    // Nor does it take them for files of a folder that went on elsewhere: nobody takes a new name.
    expect(teacher.state().writers).toHaveLength(2);
  });

  it('goes on under its name, number by number, when the folder was full for a while', () => {
    let isFull = false;
    const teacher = machine('teacher', undefined, {
      ...onDisk,
      write: (file, text) => {
        if (isFull) throw new Error('ENOSPC: no space left on device');
        onDisk.write(file, text);
      },
    });
    unwrap(teacher.choose(folder));
    unwrap(teacher.post(parcel('first')));
    for (const full of [true, false]) {
      isFull = full;
      for (const text of ['second', 'third']) expect(teacher.post(parcel(text)).ok).toBe(!full);
    }
    expect(teacher.writers.size).toBe(1);
    expect(teacher.state().written.map(({ number }) => number)).toEqual([1, 2, 3]);
  });

  it('carries the newest of each kind to the other machine, once', () => {
    const [teacher, student] = two();
    unwrap(teacher.post(parcel('first')));
    unwrap(teacher.post(parcel('second')));
    unwrap(student.post(parcel('mine', 'ada', 'report')));
    const [sheet, ...more] = student.state().waiting;
    expect(more).toEqual([]);
    expect(unwrap(student.open(sheet!.id))).toBe('second');
    student.taken(sheet!.id);
    expect(student.state().waiting).toEqual([]);
    expect(machine('student').state().waiting).toEqual([]); // also after a start
    expect(teacher.state().waiting.map(({ kind }) => kind)).toEqual(['report']);
    expect(teacher.state().written.map(({ number }) => number)).toEqual([1, 2]);
  });

  it('reads no folder that is called like a file', () => {
    const [teacher, student] = two();
    unwrap(teacher.post(parcel('one')));
    const [file] = filesOf();
    fs.mkdirSync(file!.replace('000001', '000002'));
    expect(student.state().waiting).toHaveLength(1);
    expect(student.state().flawed ?? []).toEqual([]);
  });

  it('waits for what is missing, and leaves alone what is partial or spoilt', () => {
    const [teacher, student] = two();
    for (const text of ['one', 'two', 'three']) unwrap(teacher.post(parcel(text)));
    const [, second, third] = filesOf();
    const whole = fs.readFileSync(third!, 'utf8');
    fs.rmSync(second!);
    fs.writeFileSync(third!, whole.slice(0, 40));
    let state = student.state();
    expect(state.flawed).toEqual([expect.stringContaining('still on its way')]);
    expect(unwrap(student.open(state.waiting[0]!.id))).toBe('one');
    fs.writeFileSync(third!, whole.replace('three', 'thrEE'));
    expect(student.state().flawed).toEqual([expect.stringContaining('not what was written')]);
    fs.writeFileSync(third!, whole);
    state = student.state();
    expect(unwrap(student.open(state.waiting[0]!.id))).toBe('three');
    expect(state.writers.find(({ mine }) => !mine)).toMatchObject({ segments: 2, missing: [2] });
  });

  it('takes a file that changed since it was looked at for none of what it was', () => {
    const [teacher, student] = two();
    const batch = { person: '0'.repeat(32), machine: 'Laptop', facts: [] };
    for (const machine of ['Laptop', 'Desk']) unwrap(teacher.tell({ ...batch, machine }));
    const [first, second] = filesOf();
    const [id] = [...student.look().shelf].find(([, { number }]) => number === 1)!;
    expect(student.batch(id)).toEqual(batch);
    fs.copyFileSync(second!, first!);
    expect(student.batch(id)).toBeUndefined();
  });

  it('takes a conflict copy of a syncing program for what it is', () => {
    const [teacher, student] = two();
    unwrap(teacher.post(parcel('one')));
    const [file] = filesOf();
    fs.copyFileSync(file!, file!.replace('.rungshare', ' (conflicted copy).rungshare'));
    expect(student.state().waiting).toHaveLength(1);
    expect(student.state().writers).toMatchObject([{ segments: 1, missing: [] }]);
  });

  it('never uses a number twice after a data folder was restored from an older copy', () => {
    const [teacher] = two();
    unwrap(teacher.post(parcel('one')));
    fs.cpSync(path.join(root, 'teacher'), path.join(root, 'copy'), { recursive: true });
    unwrap(teacher.post(parcel('two')));
    const before = filesOf().map((file) => fs.readFileSync(file, 'utf8'));
    fs.rmSync(path.join(root, 'teacher'), { recursive: true });
    fs.renameSync(path.join(root, 'copy'), path.join(root, 'teacher'));
    const restored = machine('teacher');
    unwrap(restored.post(parcel('three')));
    const texts = filesOf().map((file) => fs.readFileSync(file, 'utf8'));
    expect(texts).toHaveLength(3);
    for (const text of before) expect(texts).toContain(text);
    // What it wrote under the name of before stays its own.
    expect(restored.state().writers.map(({ mine }) => mine)).toEqual([true, true]);
    expect(machine('teacher').state().waiting).toEqual([]);
  });

  it('empties what it wrote of a student, and nobody waits for it', () => {
    const [teacher, student] = two();
    unwrap(teacher.post(parcel('of ada')));
    unwrap(teacher.post(parcel('of ben', 'ben')));
    expect(unwrap(teacher.forget('ada'))).toEqual({ emptied: 1 });
    expect(student.state().waiting.map((one) => one.student)).toEqual(['ben']);
    expect(student.state().writers.every(({ missing }) => missing.length === 0)).toBe(true);
    expect(fs.readFileSync(filesOf()[0]!, 'utf8')).not.toContain('of ada');
  });

  it('waits for nothing that was gathered into a file which was emptied later', () => {
    const [teacher, student] = two();
    for (let n = 1; n <= 9; n++) unwrap(teacher.post(parcel(`of ada ${n}`)));
    unwrap(teacher.post(parcel('of ben', 'ben')));
    expect(filesOf().length).toBeLessThan(9);
    unwrap(teacher.forget('ada'));
    expect(student.state().writers.every(({ missing }) => missing.length === 0)).toBe(true);
    for (const file of filesOf()) expect(fs.readFileSync(file, 'utf8')).not.toContain('of ada');
  });

  it('takes away all that it wrote, in every place, and leaves what others wrote', () => {
    const [teacher, student] = two();
    unwrap(teacher.post(parcel('to all')));
    unwrap(student.post(parcel('mine', 'ada', 'report')));
    unwrap(teacher.parted(['ada', 'ben']));
    unwrap(teacher.post(parcel('to ada')));
    unwrap(teacher.withdraw());
    expect(fs.readdirSync(folder)).toEqual(['rungwise-shared']);
    expect(teacher.state().written).toEqual([]);
    expect(student.state().written).toHaveLength(1);
    expect(student.state().writers.every(({ missing }) => missing.length === 0)).toBe(true);
    unwrap(teacher.post(parcel('anew')));
    expect(student.state().waiting).toHaveLength(1);
  });

  it('gathers nothing under a new name, whose numbers are those of other files', () => {
    const [teacher, student] = two();
    const tell = (n: number) =>
      unwrap(teacher.tell({ person: 'a'.repeat(32), machine: 'T', facts: [fact(n)] }));
    const fact = (n: number) => ({ kind: 'value' as const, key: `k-${n}`, value: n, turn: n });
    const memory = path.join(root, 'teacher', 'shared-folder.json');
    for (const n of [1, 2]) tell(n);
    const before = fs.readFileSync(memory);
    tell(3);
    // The program ended after the file was written and before that was noted.
    fs.writeFileSync(memory, before);
    const again = machine('teacher');
    const small = again.smallBatches();
    const batch = { person: 'a'.repeat(32), machine: 'T', facts: [1, 2, 3].map(fact) };
    expect(unwrap(again.merge([{ batch }], small))).toEqual([]);
    for (const n of [4, 5, 6, 7]) unwrap(again.tell({ ...batch, facts: [fact(n)] }));
    again.sweep();
    const facts = [...student.look().shelf.keys()].flatMap((id) => student.batch(id)!.facts);
    expect(facts).toHaveLength(7);
  });

  it('gives each student a folder, which holds nothing of the others', () => {
    const directory = path.join(root, 'teacher');
    fs.mkdirSync(directory);
    const names = new Map([
      ['ada', 'Ada'],
      ['ada-2', 'Ada'],
      ['ben', 'Ben: bass'],
      // One name, written in two ways (Unicode Standard Annex 15).
      ['joe', 'Jo\u0308rg'],
      ['joe-2', 'J\u00f6rg'],
    ]);
    const options = { directory, now: standingClock(), newId: () => `t-${++ids}` };
    const teacher = new SharedFolder({ ...options, nameOf: (id) => names.get(id) });
    unwrap(teacher.choose(folder));
    unwrap(teacher.parted([...names.keys()]));
    for (const id of names.keys()) unwrap(teacher.post(parcel(`of ${id}`, id)));
    expect(fs.readdirSync(folder).sort()).toEqual([
      'Ada',
      'Ada (2)',
      'Ben bass',
      'J\u00f6rg',
      'J\u00f6rg (2)',
      'rungwise-shared',
    ]);

    // Each student sees a folder of their own only, and no number is missing in it.
    const student = machine('student');
    unwrap(student.choose(path.join(folder, 'Ada (2)')));
    expect(student.state().waiting.map((one) => one.student)).toEqual(['ada-2']);
    expect(student.state().writers).toMatchObject([{ segments: 1, missing: [] }]);
    unwrap(student.post(parcel('mine', 'ada-2', 'report')));
    expect(teacher.state().waiting).toMatchObject([{ kind: 'report', student: 'ada-2' }]);

    // Who is taken off leaves nothing of the teacher's; what others wrote stays.
    unwrap(teacher.forget('ada'));
    unwrap(teacher.forget('ada-2'));
    expect(fs.readdirSync(folder).sort()).toEqual([
      ...['Ada (2)', 'Ben bass', 'J\u00f6rg', 'J\u00f6rg (2)', 'rungwise-shared'],
    ]);
    expect(student.state().waiting).toEqual([]);
    expect(teacher.state().waiting).toHaveLength(1);
    unwrap(teacher.post(parcel('again', 'ada-2')));
    expect(student.state().waiting).toMatchObject([{ student: 'ada-2' }]);
  });

  it('keeps what a copy of the data folder writes elsewhere beside its own', () => {
    const [teacher, student] = two();
    unwrap(teacher.post(parcel('one')));
    fs.cpSync(path.join(root, 'teacher'), path.join(root, 'copy'), { recursive: true });
    const elsewhere = path.join(root, 'elsewhere');
    fs.cpSync(folder, elsewhere, { recursive: true });
    unwrap(teacher.post(parcel('here')));
    const copy = machine('copy');
    unwrap(copy.choose(elsewhere));
    unwrap(copy.post(parcel('there', 'ben')));
    fs.cpSync(elsewhere, folder, { recursive: true });
    expect(
      student
        .state()
        .waiting.map((one) => one.student)
        .sort(),
    ).toEqual(['ada', 'ben']);
  });

  it('reads what version 0.2 wrote', () => {
    const [teacher, student] = two();
    unwrap(teacher.post(parcel('one')));
    const [file] = filesOf();
    fs.renameSync(file!, path.join(path.dirname(file!), '000001.rungshare'));
    const memory = path.join(root, 'teacher', 'shared-folder.json');
    const { places, checkSum, ...rest } = JSON.parse(fs.readFileSync(memory, 'utf8')) as {
      checkSum: string;
      places: { writer: string; last: number }[];
    };
    const { writer, last } = places[0]!;
    expect(checkSum).toMatch(/^[0-9a-f]{8}$/);
    fs.writeFileSync(memory, JSON.stringify({ ...rest, writer, last }));
    unwrap(machine('teacher').post(parcel('two')));
    expect(student.state().writers).toMatchObject([{ writer, segments: 2, missing: [] }]);
  });

  it('shares nothing by a damaged note of which folder it is, and says so', () => {
    const [teacher] = two();
    unwrap(teacher.post(parcel('one')));
    const note = path.join(root, 'teacher', 'shared-folder.json');
    const text = fs.readFileSync(note, 'utf8');
    fs.writeFileSync(note, text.replace('/folder', '/fo1der'));
    const told: string[] = [];
    const again = new SharedFolder({
      ...{ directory: path.join(root, 'teacher'), now: standingClock(), newId: () => 'anew' },
      raise: ({ code }) => told.push(code),
    });
    expect(told).toEqual(['shared-memory-spoilt']);
    expect(again.post(parcel('two')).ok).toBe(false);
    expect(fs.readdirSync(path.join(root, 'teacher', 'set-aside'))).toEqual(['shared-folder.json']);
    unwrap(again.choose(folder));
    unwrap(again.post(parcel('two')));
    expect(filesOf()).toHaveLength(2);
  });

  it('says what is in the way where no folder stands at its place, or a closed one', () => {
    const [teacher] = two();
    unwrap(teacher.post(parcel('one')));
    fs.renameSync(folder, `${folder}-away`);
    fs.writeFileSync(folder, 'a file');
    expect(teacher.state()).toMatchObject({ away: { code: 'shared-away' }, waiting: [] });
    fs.rmSync(folder);
    fs.symlinkSync(path.join(root, 'nowhere'), folder);
    expect(teacher.state()).toMatchObject({ away: { code: 'shared-away' }, waiting: [] });
    fs.rmSync(folder);
    fs.renameSync(`${folder}-away`, folder);
    const closed = new SharedFolder({
      ...{ directory: path.join(root, 'teacher'), now: standingClock(), newId: () => 'anew' },
      files: {
        ...onDisk,
        inside: () => {
          throw Object.assign(new Error('EACCES'), { code: 'EACCES' });
        },
      },
    });
    expect(closed.state().flawed).toEqual([
      'rungwise-shared: it cannot be read: this program may not write or read there',
    ]);
    expect(teacher.state().written).toHaveLength(1);
  });

  it('says that the folder is away, and loses nothing by it', () => {
    const [teacher] = two();
    unwrap(teacher.post(parcel('one')));
    fs.renameSync(folder, `${folder}-away`);
    expect(teacher.state()).toMatchObject({ away: { code: 'shared-away' }, waiting: [] });
    expect(teacher.post(parcel('two'))).toMatchObject({ problems: [{ code: 'shared-away' }] });
    fs.renameSync(`${folder}-away`, folder);
    unwrap(teacher.post(parcel('two')));
    expect(teacher.state().written).toHaveLength(2);
  });
});
