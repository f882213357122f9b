// Teacher → two students → teacher over a real WebDAV server, by real browser hosts on lines that fail; what the second
// student sends comes late, twice and out of order.
import fs from 'node:fs';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type FaultyLine, startFaultyLine } from '../../../support/dav/faulty-line.ts';
import {
  DAV_MISSING,
  davInstalled,
  type DavServer,
  startDav,
} from '../../../support/dav/server.ts';
import { startTalkingHost, type TalkingHost } from '../../../support/machines/host.ts';
import {
  AT,
  chart,
  played,
  sheetOf,
  student,
  takeSheet,
} from '../../../support/machines/lesson.ts';
import { record, soundOf, webm } from '../../../support/recordings.ts';
import { openWorld, type World } from '../../../support/machines/own-machines.ts';
import { needs } from '../../../support/needs.ts';

describe('over a server', needs(davInstalled(), DAV_MISSING), () => {
  let world: World;
  let server: DavServer;
  let hosts: TalkingHost[] = [];
  let lines: FaultyLine[] = [];
  beforeEach(async () => {
    world = openWorld(5);
    server = await startDav();
  });
  afterEach(async () => {
    for (const one of [...hosts, ...lines, server]) await one.close();
    [hosts, lines] = [[], []];
    world.close();
  });

  const start = async (name: string, at: string): Promise<TalkingHost> => {
    const host = await startTalkingHost(world.root, name, () => new Date(at));
    hosts.push(host);
    return host;
  };
  /** A line to a folder of the server, which is made there, as its owner shares it. */
  const lineTo = async (folder: string): Promise<FaultyLine> => {
    const line = await startFaultyLine(server.port, `/lessons${folder}`);
    lines.push(line);
    return line;
  };
  const connect = (host: TalkingHost, { url }: FaultyLine) =>
    host.done('shared.connect', { url, user: server.user, password: server.password });
  const meet = (host: TalkingHost) => host.call('shared.meet', {});
  /** What lies in a student's folder, but what the teacher wrote there. */
  const reportsOf = (name: string): readonly string[] =>
    fs
      .readdirSync(path.join(server.folder, name), { recursive: true, encoding: 'utf8' })
      .filter((file) => path.basename(path.dirname(file)).startsWith(name.toLowerCase()))
      .filter((file) => file.endsWith('.rungshare'))
      .map((file) => path.join(server.folder, name, file))
      .toSorted();

  it('reports of both come whole, each once, however they came', async () => {
    const teacher = await start('teacher', AT);
    const list = [student('id-ada', 'Ada'), student('id-ben', 'Ben')];
    await connect(teacher, await lineTo(''));
    await teacher.done('charts.save', { chart });
    for (const one of list) await teacher.done('students.save', { student: one });
    await teacher.done('shared.parted', { apart: true });
    for (const one of list)
      await teacher.done('shared.post', {
        ...{ kind: 'sheet', student: one.id, name: `${one.name}.rungsheet`, text: sheetOf(one) },
      });
    await meet(teacher);

    const ada = await start('ada', '1999-01-01T00:00:00Z');
    const ben = await start('ben', '2044-01-01T00:00:00Z');
    await connect(ada, await lineTo('/Ada'));
    const toBen = await lineTo('/Ben');
    await connect(ben, toBen);
    for (const [host, id] of [
      [ada, 'id-ada'],
      [ben, 'id-ben'],
    ] as const) {
      await meet(host);
      await takeSheet(host);
      await host.done('shared.reports', { to: id });
    }
    // Nothing of the other lies in the folder of either.
    expect((await ben.call('shared.read', {})).writers).toHaveLength(1);

    const practise = async (host: TalkingHost, name: string, day: number) => {
      const entries = [1, 2].map((n) => played(`${name}-${day}-${n}`));
      await host.call('log.append', { entries });
      await host.call('shared.sync', {});
      await meet(host);
    };
    for (const day of [1, 2, 3, 4]) await practise(ada, 'Ada', day);

    // Ben: the line is down on the first day, breaks in the middle of the second, loses answers on the third.
    toBen.fault = () => ({ kind: 'cut-back', bytes: 0 });
    await practise(ben, 'Ben', 1);
    expect(reportsOf('Ben')).toEqual([]);
    toBen.fault = ({ method }) =>
      method === 'PUT' ? { kind: 'cut-there', bytes: 900 } : undefined;
    await practise(ben, 'Ben', 2);
    toBen.fault = ({ method }) =>
      method === 'MOVE' || method === 'PUT' ? { kind: 'lost-answer' } : undefined;
    await practise(ben, 'Ben', 3);
    await meet(teacher);
    toBen.fault = () => undefined;
    await practise(ben, 'Ben', 4);
    const files = reportsOf('Ben');
    expect(files).toHaveLength(4);

    // On the server they come one by one, the last first, and each twice.
    const aside = files.map((file) => fs.readFileSync(file));
    files.forEach((file) => fs.rmSync(file));
    for (const i of [3, 0, 2, 1]) {
      fs.writeFileSync(files[i]!, aside[i]!);
      fs.writeFileSync(files[i]!.replace('.rungshare', ' (copy).rungshare'), aside[i]!);
      await meet(teacher);
      await teacher.call('shared.sync', {});
    }

    for (const [name, id] of [
      ['Ada', 'id-ada'],
      ['Ben', 'id-ben'],
    ] as const) {
      const { passes } = await teacher.call('log.passes', { desk: id });
      expect(passes.map((pass) => pass.id).toSorted()).toEqual(
        [1, 2, 3, 4].flatMap((day) => [1, 2].map((n) => `${name}-${day}-${n}`)),
      );
    }
    const { waiting, flawed, carrier } = await teacher.call('shared.read', {});
    expect([waiting, flawed, carrier!.unsent]).toEqual([[], undefined, 0]);
    expect((await teacher.call('log.passes', {})).passes).toEqual([]);

    // Who is taken off the list leaves nothing of the teacher's on the server; what the student wrote stays.
    await teacher.done('students.remove', { id: 'id-ben' });
    await teacher.done('shared.forget', { student: 'id-ben' });
    await meet(teacher);
    const left = fs.readdirSync(path.join(server.folder, 'Ben', 'rungwise-shared'));
    expect(left.every((writer) => writer.startsWith('ben'))).toBe(true);
    expect(fs.existsSync(path.join(server.folder, 'Ada'))).toBe(true);
  });

  it('a recording is heard byte for byte through the lock, lies there unread, and is taken back', async () => {
    const teacher = await start('teacher', AT);
    const ada = await start('ada', AT);
    const toTeacher = await lineTo('');
    const toAda = await lineTo('');
    const passphrase = 'nine invented harbour lanterns';
    await connect(teacher, toTeacher);
    await teacher.done('shared.lock', { passphrase });
    await teacher.done('charts.save', { chart });
    const listed = student('id-ada', 'Ada');
    await teacher.done('students.save', { student: listed });
    await teacher.done('shared.post', {
      ...{ kind: 'sheet', student: listed.id, name: 'Ada.rungsheet', text: sheetOf(listed) },
    });
    await meet(teacher);
    await connect(ada, toAda);
    await ada.done('shared.lock', { passphrase });
    await meet(ada);
    await takeSheet(ada);

    const sound = webm(300_000);
    const { note } = await record(ada, sound);
    await ada.done('shared.giveRecording', { id: note.id, to: 'id-ada' });
    // The line breaks in the middle of it, once.
    let broke = 0;
    toAda.fault = ({ method }) =>
      method === 'PUT' && broke++ === 0 ? { kind: 'cut-there', bytes: 90_000 } : undefined;
    await meet(ada);
    await meet(ada);
    expect(broke).toBeGreaterThan(1);
    await meet(teacher);
    const [heard, ...more] = await teacher.call('shared.recordings', {});
    expect([heard?.note, more]).toEqual([note, []]);
    await teacher.done('shared.openRecording', { id: heard!.file });
    expect(await soundOf(teacher, heard!.file, 'shared.recordingPart')).toEqual(sound);

    // Nothing on the server can be read without the passphrase.
    const onServer = fs
      .readdirSync(server.folder, { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile() && entry.name.includes('.rungshare'))
      .map((entry) => fs.readFileSync(path.join(entry.parentPath, entry.name)));
    expect(onServer.length).toBeGreaterThan(1);
    for (const content of onServer) {
      expect(content.subarray(0, 21).toString()).toBe('age-encryption.org/v1');
      expect(content.includes(note.chart.title)).toBe(false);
    }

    await ada.done('shared.takeBack', { id: note.id });
    await meet(ada);
    await meet(teacher);
    expect(await teacher.call('shared.recordings', {})).toEqual([]);
  });
});
