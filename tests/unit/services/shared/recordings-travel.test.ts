// A recording goes from a student to the teacher through a shared folder, by real browser hosts, and is taken back.
import fs from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { readSegment, writeSegment } from '../../../../app/core/exchange/shared/segment.ts';
import { record, soundOf, webm } from '../../../support/recordings.ts';
import { eachInAWorld } from '../../../support/machines/each-in-a-world.ts';
import type { TalkingHost } from '../../../support/machines/host.ts';
import { AT, chart, sheetOf, student, takeSheet } from '../../../support/machines/lesson.ts';
import { carry, SURE } from '../../../support/machines/own-machines.ts';

const all = eachInAWorld(7);
const start = (name: string): Promise<TalkingHost> => all.host(name, AT);

/** A teacher with Ada and Ben on the list, and Ada, who has taken in the sheet. */
async function lesson(): Promise<{ teacher: TalkingHost; ada: TalkingHost }> {
  const teacher = await start('teacher');
  const ada = await start('ada');
  await teacher.done('charts.save', { chart });
  for (const one of [student('id-ada', 'Ada'), student('id-ben', 'Ben')])
    await teacher.done('students.save', { student: one });
  await teacher.done('shared.post', {
    ...{ kind: 'sheet', student: 'id-ada', name: 'Ada.rungsheet' },
    text: sheetOf(student('id-ada', 'Ada')),
  });
  go(teacher, ada);
  await takeSheet(ada);
  return { teacher, ada };
}
/** As a syncing service does when all is well: what became shorter, too. */
const go = (from: TalkingHost, to: TalkingHost): void =>
  fs.cpSync(from.folder, to.folder, { recursive: true });
const heardBy = (host: TalkingHost) => host.call('shared.recordings', {});
const segments = (folder: string): string[] =>
  fs
    .readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.rungshare'))
    .map((name) => fs.readFileSync(path.join(folder, name), 'utf8'));

it('nothing of it leaves the machine before it is given; then the teacher hears every byte', async () => {
  const { teacher, ada } = await lesson();
  const sound = webm(40_000);
  const { note } = await record(ada, sound);
  const before = segments(ada.folder).length;
  await ada.call('shared.sync', {});
  expect(segments(ada.folder)).toHaveLength(before);

  await ada.done('shared.giveRecording', { id: note.id, to: 'id-ada' });
  expect(await heardBy(ada)).toMatchObject([{ note, from: { kind: 'here', to: 'id-ada' } }]);
  const { written } = await ada.call('shared.read', {});
  expect(written.at(-1)).toMatchObject({ name: 'Recording of Harbour Lights' });

  // It arrives in pieces and twice.
  const torn = { share: 0.6, partial: 0.6, twice: 0.5 };
  for (let round = 0; round < 4; round++) {
    carry(ada.folder, teacher.folder, torn, all.world.random);
    for (const one of await heardBy(teacher)) expect(one.note).toEqual(note);
  }
  go(ada, teacher);
  const [one, ...more] = await heardBy(teacher);
  expect(more).toEqual([]);
  expect(one).toMatchObject({
    ...{ note, bytes: 40_000 },
    from: { kind: 'student', student: 'id-ada' },
  });
  expect(await teacher.done('shared.openRecording', { id: one!.file })).toEqual({
    ...{ bytes: 40_000, kind: 'webm', whole: true },
  });
  expect(await soundOf(teacher, one!.file, 'shared.recordingPart')).toEqual(sound);
  // It is no parcel to be taken in, and nothing is flawed by it.
  const state = await teacher.call('shared.read', {});
  expect([state.waiting, state.flawed ?? []]).toEqual([[], []]);
});

it('given anew with a remark it is there once; taken back or thrown away it is gone for everybody', async () => {
  const { teacher, ada } = await lesson();
  const { note } = await record(ada, webm(900));
  const { id } = note;
  await ada.done('shared.giveRecording', { id, to: 'id-ada' });
  await ada.done('recordings.remark', { id, remark: 'the bridge holds' });
  await ada.done('shared.giveRecording', { id, to: 'id-ada' });
  go(ada, teacher);
  const [one, ...more] = await heardBy(teacher);
  expect([one?.note.remark, more]).toEqual(['the bridge holds', []]);

  await ada.done('shared.takeBack', { id });
  go(ada, teacher);
  expect(await heardBy(teacher)).toEqual([]);
  const gone = await teacher.call('shared.openRecording', { id: one!.file });
  expect(gone).toMatchObject({ ok: false, problems: [{ code: 'recording-gone' }] });
  expect((await ada.call('recordings.list', {})).all).toHaveLength(1);

  await ada.done('shared.giveRecording', { id, to: 'id-ada' });
  // The service leaves a copy of it beside it.
  carry(ada.folder, teacher.folder, { ...SURE, twice: 1 }, all.world.random);
  expect(await heardBy(teacher)).toHaveLength(1);
  await ada.done('recordings.remove', { id });
  go(ada, teacher);
  expect([await heardBy(ada), await heardBy(teacher)]).toEqual([[], []]);
  for (const text of segments(ada.folder)) expect(text).not.toContain('"sound"');
  // Numbers stay, so that nobody waits for what is gone.
  const { writers } = await teacher.call('shared.read', {});
  expect(writers.flatMap(({ missing }) => missing)).toEqual([]);
});

it('is heard by nobody whom it is not for, and given to nobody who is not known', async () => {
  const { teacher, ada } = await lesson();
  const ben = await start('ben');
  const { note } = await record(ada, webm(900));
  const { id } = note;
  for (const to of ['id-ben', 'nobody', null])
    expect(await ada.call('shared.giveRecording', { id, to })).toMatchObject({
      ...{ ok: false, problems: [{ code: 'recording-for-nobody' }] },
    });
  await ada.done('shared.giveRecording', { id, to: 'id-ada' });
  go(ada, ben);
  go(ada, teacher);
  expect(await heardBy(ben)).toEqual([]);
  const [one] = await heardBy(teacher);
  const refused = await ben.call('shared.openRecording', { id: one!.file });
  expect(refused).toMatchObject({ ok: false });
  await teacher.done('students.remove', { id: 'id-ada' });
  expect(await heardBy(teacher)).toEqual([]);
});

it('stays while the folder cannot be reached, so that it is not left lying there', async () => {
  const { ada } = await lesson();
  const { note } = await record(ada, webm(900));
  const { id } = note;
  await ada.done('shared.giveRecording', { id, to: 'id-ada' });
  fs.renameSync(ada.folder, `${ada.folder}-away`);
  expect(await ada.call('recordings.remove', { id })).toMatchObject({
    ...{ ok: false, problems: [{ code: 'shared-away' }] },
  });
  expect((await ada.call('recordings.list', {})).all).toHaveLength(1);
  fs.renameSync(`${ada.folder}-away`, ada.folder);
  await ada.done('recordings.remove', { id });
  expect((await ada.call('recordings.list', {})).all).toEqual([]);
});

describe('whose file is destroyed for everybody', () => {
  /** Its files go from every folder, though nobody took them away. */
  const lose = (...hosts: readonly TalkingHost[]): number => {
    const files = hosts.flatMap(({ folder }) =>
      fs
        .readdirSync(folder, { recursive: true, encoding: 'utf8' })
        .filter((name) => name.endsWith('.rungshare'))
        .map((name) => path.join(folder, name))
        .filter((file) => fs.readFileSync(file, 'utf8').includes('"sound"')),
    );
    files.forEach((file) => fs.rmSync(file));
    return files.length;
  };
  const looks = async (host: TalkingHost, count: number): Promise<void> => {
    for (let i = 0; i < count; i++) await host.call('shared.sync', {});
  };
  const given = async () => {
    const { teacher, ada } = await lesson();
    const sounds = [webm(40_000), webm(900)];
    const notes = [];
    for (const sound of sounds) notes.push((await record(ada, sound)).note);
    for (const { id } of notes) await ada.done('shared.giveRecording', { id, to: 'id-ada' });
    await ada.done('shared.post', {
      ...{ kind: 'report', student: 'id-ada', name: 'A.rungreport', text: '{}' },
    });
    await ada.call('shared.sync', {});
    return { teacher, ada, sounds, notes };
  };

  it('is given again, once, and nobody waits for what is gone', async () => {
    const { teacher, ada, sounds, notes } = await given();
    go(ada, teacher);
    expect(lose(ada, teacher)).toBe(4);
    expect(await heardBy(teacher)).toEqual([]);
    await looks(ada, 2);
    // It may only be late.
    expect(await heardBy(ada)).toEqual([]);
    await looks(ada, 2);
    go(ada, teacher);
    const heard = await heardBy(teacher);
    expect(heard.map(({ note }) => note.id).toSorted()).toEqual(
      notes.map(({ id }) => id).toSorted(),
    );
    for (const [i, { id }] of notes.entries()) {
      const { file } = heard.find(({ note }) => note.id === id)!;
      expect((await soundOf(teacher, file, 'shared.recordingPart')).equals(sounds[i]!)).toBe(true);
    }
    await looks(ada, 5);
    await looks(teacher, 1);
    go(ada, teacher);
    expect(await heardBy(teacher)).toHaveLength(2);
    expect((await teacher.call('shared.read', {})).missing).toBeUndefined();
    // A folder that loses it again and again is not filled with it.
    for (let time = 0; time < 5; time++) {
      lose(ada, teacher);
      await looks(ada, 6);
    }
    expect(await heardBy(ada)).toEqual([]);
    await ada.done('shared.giveRecording', { id: notes[0]!.id, to: 'id-ada' });
    expect(await heardBy(ada)).toHaveLength(1);
  });

  it('is not given again where it was taken back, thrown away, or sharing has ended since', async () => {
    const { teacher, ada, notes } = await given();
    const [one, other] = notes;
    lose(ada);
    await ada.done('shared.takeBack', { id: one!.id });
    await ada.done('recordings.remove', { id: other!.id });
    await looks(ada, 6);
    go(ada, teacher);
    expect(await heardBy(teacher)).toEqual([]);
    expect((await teacher.call('shared.read', {})).missing).toBeUndefined();

    await ada.done('shared.giveRecording', { id: one!.id, to: 'id-ada' });
    await ada.done('shared.stop', { takeOut: true });
    await ada.done('shared.choose', { folder: ada.folder });
    await looks(ada, 6);
    expect(await heardBy(ada)).toEqual([]);
  });
});

it('goes to the player’s other machine where that is chosen, and ends when the machines part', async () => {
  const laptop = await start('laptop');
  const desktop = await start('desktop');
  await laptop.done('shared.own', { kind: 'begin', machine: 'Laptop' });
  go(laptop, desktop);
  const { own } = await laptop.call('shared.read', {});
  await desktop.done('shared.own', { kind: 'join', machine: 'Desktop', code: own!.code });
  const { note } = await record(laptop, webm(900));
  await laptop.call('shared.sync', {});
  go(laptop, desktop);
  expect(await heardBy(desktop)).toEqual([]);
  await laptop.done('shared.giveRecording', { id: note.id, to: null });
  go(laptop, desktop);
  await desktop.call('shared.sync', {});
  expect(await heardBy(desktop)).toMatchObject([
    { note, from: { kind: 'own', machine: 'Laptop' } },
  ]);
  await laptop.done('shared.own', { kind: 'leave', empty: true });
  go(laptop, desktop);
  expect(await heardBy(desktop)).toEqual([]);
});

it('a sound that is none is refused in words; a program of before says that a newer one wrote it', async () => {
  const { teacher, ada } = await lesson();
  const { note } = await record(ada, webm(900));
  await ada.done('shared.giveRecording', { id: note.id, to: 'id-ada' });
  const text = segments(ada.folder).find((one) => one.includes('"sound"'))!;
  expect(JSON.parse(text.split('\n')[0]!)).toMatchObject({ version: 4 });
  const read = readSegment(text);
  if (read.kind !== 'whole') throw new Error(read.kind);
  const { recording, ...segment } = read.segment;
  const hostile = { ...recording!, sound: Buffer.from('<svg onload=…>').toString('base64') };
  const home = path.join(teacher.folder, 'rungwise-shared', 'stranger');
  fs.mkdirSync(home, { recursive: true });
  fs.writeFileSync(
    path.join(home, '000001-00000000.rungshare'),
    writeSegment({ ...segment, writer: 'stranger', number: 1, recording: hostile }),
  );
  const [one] = await heardBy(teacher);
  expect(await teacher.call('shared.openRecording', { id: one!.file })).toMatchObject({
    ...{ ok: false, problems: [{ code: 'recording-unplayable' }] },
  });
});
