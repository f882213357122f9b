// A shared folder on a real WebDAV server, over a line that fails on demand.
import fs from 'node:fs';
import path from 'node:path';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { unwrap } from '../../../../app/core/base/result.ts';
import { openDav } from '../../../../app/services/machine/courier/dav.ts';
import type { FileOutside } from '../../../../app/services/machine/courier/outside.ts';
import type { SharedPlace } from '../../../../app/services/machine/courier/shared-place.ts';
import {
  DAV_MISSING,
  davInstalled,
  type DavServer,
  startDav,
} from '../../../support/dav/server.ts';
import { parcel, sharingComputers } from '../../../support/machines/places.ts';
import { type Asked, type FaultyLine, startFaultyLine } from '../../../support/dav/faulty-line.ts';
import { temporaryDirectory } from '../samples.ts';
import { needs } from '../../../support/needs.ts';

describe('a folder on a WebDAV server', needs(davInstalled(), DAV_MISSING), () => {
  let server: DavServer;
  let line: FaultyLine;
  let root: string;

  const { computer, closeAll } = sharingComputers(() => root);
  /** By the faulty line, if that is handed over. */
  const connect = async (place: SharedPlace, { url } = server as { url: string }) => {
    unwrap(await place.connect({ url, user: server.user, password: server.password }));
    await place.meet();
  };
  const filesOnServer = (): string[] =>
    fs
      .readdirSync(server.folder, { recursive: true, encoding: 'utf8' })
      .filter((name) => name.includes('.rungshare'))
      .sort();
  const isPut = ({ method }: Asked) => method === 'PUT';
  const wholeOf = (asked: string): string[] => asked.split('/').slice(2);
  const partOf = (asked: string): string[] => wholeOf(`${asked}.part`);
  const trouble = (place: SharedPlace) => place.state().carrier!.trouble?.code;

  beforeAll(async () => {
    server = await startDav();
  });
  afterAll(() => server.close());
  beforeEach(async () => {
    root = temporaryDirectory();
    line = await startFaultyLine(server.port);
  });
  afterEach(async () => {
    closeAll();
    await line.close();
    fs.rmSync(root, { recursive: true, force: true });
    for (const name of fs.readdirSync(server.folder)) {
      fs.rmSync(path.join(server.folder, name), { recursive: true });
    }
  });

  it('carries a sheet there and a report back, and what was emptied', async () => {
    const [teacher, student] = [computer('teacher'), computer('student')];
    await connect(teacher);
    await connect(student);
    unwrap(teacher.folder.post(parcel('first')));
    unwrap(teacher.folder.post(parcel('second')));
    await teacher.meet();
    await student.meet();
    const [sheet, ...more] = student.state().waiting;
    expect(more).toEqual([]);
    expect(unwrap(student.folder.open(sheet!.id))).toBe('second');
    unwrap(student.folder.post(parcel('mine', 'ada', 'report')));
    await student.meet();
    await teacher.meet();
    expect(teacher.state().waiting.map(({ kind }) => kind)).toEqual(['report']);
    unwrap(teacher.folder.forget('ada'));
    await teacher.meet();
    await student.meet();
    expect(student.state().waiting).toEqual([]);
    expect(student.state().writers.every(({ missing }) => missing.length === 0)).toBe(true);
    expect(filesOnServer()).toHaveLength(3);
    expect(trouble(teacher)).toBeUndefined();
  });

  it('asks nothing more of a server on which nothing has changed than what there is', async () => {
    const teacher = computer('teacher');
    await connect(teacher, line);
    unwrap(teacher.folder.post(parcel('one')));
    await teacher.meet();
    line.asked.length = 0;
    await teacher.meet();
    expect(line.asked.map(({ method }) => method)).toEqual([
      ...['PROPFIND', 'PROPFIND', 'PROPFIND'],
    ]);
  });

  it('knows a changed file by the server’s mark and by its time', async () => {
    const teacher = computer('teacher');
    await connect(teacher);
    unwrap(teacher.folder.post(parcel('one')));
    await teacher.meet();
    const { url, user, password } = server;
    const outside = await openDav({ url, user, password });
    const listing = (await outside.list(new AbortController().signal)) ?? new Map();
    const [{ stamp, bytes }] = [...listing.values()] as [FileOutside];
    const [etag, , size] = JSON.parse(stamp) as [string, unknown, number];
    expect([etag.length > 0, size]).toEqual([true, bytes]);
    expect(stamp).toMatch(/\d\d:\d\d:\d\d GMT/);
  });

  it('works on without the server, and goes on where it stopped', async () => {
    const [teacher, student] = [computer('teacher'), computer('student')];
    await connect(teacher, line);
    await connect(student);
    line.fault = () => ({ kind: 'cut-back', bytes: 0 });
    unwrap(teacher.folder.post(parcel('one')));
    unwrap(teacher.folder.post(parcel('two', 'ben')));
    await teacher.meet();
    expect(teacher.state().carrier).toMatchObject({ unsent: 2, triesAgain: true });
    expect(trouble(teacher)).toBe('server-cut');
    // It is tried again after the program was started anew, too.
    teacher.close();
    line.fault = () => undefined;
    const again = computer('teacher');
    await again.meet();
    await student.meet();
    expect(
      student
        .state()
        .waiting.map((one) => one.student)
        .sort(),
    ).toEqual(['ada', 'ben']);
    expect(again.state().carrier).toMatchObject({ unsent: 0 });
  });

  it('takes small files away there once those that hold their content have gone out', async () => {
    const [one, other] = [computer('one'), computer('other')];
    await connect(one, line);
    await connect(other);
    const told = (n: number) =>
      unwrap(one.folder.tell({ person: 'a'.repeat(32), machine: 'One', facts: [fact(n)] }));
    const fact = (n: number) => ({ kind: 'value' as const, key: `k-${n}`, value: n, turn: n });
    for (const n of [1, 2, 3]) told(n);
    await one.meet();
    await other.meet();
    const small = one.folder.smallBatches();
    const facts = [1, 2, 3].map(fact);
    const batch = { person: 'a'.repeat(32), machine: 'One', facts };
    unwrap(one.folder.merge([{ batch }], small));
    line.fault = (asked) => (isPut(asked) ? { kind: 'status', status: 507 } : undefined);
    await one.meet();
    expect(filesOnServer()).toHaveLength(3);
    line.fault = () => undefined;
    await one.meet();
    await other.meet();
    expect(filesOnServer()).toHaveLength(1);
    const [writer, ...more] = other.state().writers;
    expect([writer, more]).toMatchObject([{ segments: 1, missing: [] }, []]);
    const [[id]] = [...other.folder.look().shelf] as [[string, unknown]];
    expect(other.folder.batch(id)!.facts).toEqual(facts);
  });

  it('never shows half of a file that was cut off on the way there', async () => {
    const [teacher, student] = [computer('teacher'), computer('student')];
    await connect(teacher, line);
    await connect(student);
    line.fault = (asked) => (isPut(asked) ? { kind: 'cut-there', bytes: 20_000 } : undefined);
    unwrap(teacher.folder.post(parcel('x'.repeat(400_000))));
    await teacher.meet();
    await student.meet();
    expect(student.state().waiting).toEqual([]);
    expect(filesOnServer().filter((name) => name.endsWith('.rungshare'))).toEqual([]);
    line.fault = () => undefined;
    await teacher.meet();
    await student.meet();
    expect(unwrap(student.folder.open(student.state().waiting[0]!.id))).toHaveLength(400_000);
    expect(filesOnServer()).toHaveLength(1);
  });

  it('never takes in half of a file that was cut off on the way back', async () => {
    const [teacher, student] = [computer('teacher'), computer('student')];
    await connect(teacher);
    unwrap(teacher.folder.post(parcel('x'.repeat(400_000))));
    await teacher.meet();
    line.fault = ({ method }) =>
      method === 'GET' ? { kind: 'cut-back', bytes: 20_000 } : undefined;
    await connect(student, line);
    expect(student.state()).toMatchObject({ waiting: [] });
    expect(trouble(student)).toBe('server-cut');
    line.fault = () => undefined;
    await student.meet();
    expect(student.state().waiting).toHaveLength(1);
    expect(trouble(student)).toBeUndefined();
  });

  it('tries a file again that fails twice', async () => {
    const teacher = computer('teacher');
    await connect(teacher, line);
    let left = 2;
    line.fault = (asked) =>
      isPut(asked) && left-- > 0 ? { kind: 'status', status: 500 } : undefined;
    unwrap(teacher.folder.post(parcel('one')));
    await teacher.meet();
    expect(filesOnServer()).toHaveLength(1);
    expect(trouble(teacher)).toBeUndefined();
  });

  it.each(['PUT', 'MOVE'])('sends once more where the answer to a %s was lost', async (method) => {
    const [teacher, student] = [computer('teacher'), computer('student')];
    await connect(teacher, line);
    await connect(student);
    line.fault = (asked) => (asked.method === method ? { kind: 'lost-answer' } : undefined);
    unwrap(teacher.folder.post(parcel('one')));
    await teacher.meet();
    expect(trouble(teacher)).toBe('server-cut');
    // Emptied meanwhile: what stands there is not taken for somebody else’s.
    unwrap(teacher.folder.forget('ada'));
    line.fault = () => undefined;
    await teacher.meet();
    await student.meet();
    expect(filesOnServer()).toHaveLength(1);
    expect(student.state()).toMatchObject({ waiting: [], writers: [{ segments: 1 }] });
  });

  it('sends to a server that cannot move files, too, and takes no half of one for a whole', async () => {
    const [teacher, student] = [computer('teacher'), computer('student')];
    await connect(teacher, line);
    await connect(student);
    const noMove = ({ method }: Asked) =>
      method === 'MOVE' ? ({ kind: 'status', status: 501 } as const) : undefined;
    // Half of it stands there before the line breaks, as on a server that keeps what came.
    line.fault = (asked) => {
      if (!isPut(asked) || !asked.path.endsWith('.rungshare')) return noMove(asked);
      const text = fs.readFileSync(path.join(server.folder, ...partOf(asked.path)), 'utf8');
      fs.writeFileSync(path.join(server.folder, ...wholeOf(asked.path)), text.slice(0, 60));
      return { kind: 'cut-there', bytes: 10 };
    };
    unwrap(teacher.folder.post(parcel('x'.repeat(400_000))));
    await teacher.meet();
    await student.meet();
    expect(student.state().waiting).toEqual([]);
    expect(teacher.state().carrier).toMatchObject({ unsent: 1 });
    line.fault = noMove;
    await teacher.meet();
    await student.meet();
    expect(unwrap(student.folder.open(student.state().waiting[0]!.id))).toHaveLength(400_000);
    expect(filesOnServer()).toHaveLength(1);
  });

  it('leaves the other files alone where one is held by another program', async () => {
    const teacher = computer('teacher');
    await connect(teacher, line);
    line.fault = ({ path: file }) =>
      file.includes('000001') ? { kind: 'status', status: 423 } : undefined;
    unwrap(teacher.folder.post(parcel('one')));
    unwrap(teacher.folder.post(parcel('two')));
    await teacher.meet();
    expect(trouble(teacher)).toBe('server-locked');
    expect(filesOnServer()).toEqual([expect.stringMatching(/000002-\w+\.rungshare$/)]);
    expect(teacher.state().carrier).toMatchObject({ unsent: 1 });
  });

  it('still takes in what others wrote where no room is left', async () => {
    const [teacher, student] = [computer('teacher'), computer('student')];
    await connect(teacher);
    await connect(student, line);
    unwrap(teacher.folder.post(parcel('one')));
    await teacher.meet();
    line.fault = (asked) => (isPut(asked) ? { kind: 'status', status: 507 } : undefined);
    unwrap(student.folder.post(parcel('mine', 'ada', 'report')));
    unwrap(student.folder.post(parcel('more', 'ada', 'report')));
    line.asked.length = 0;
    await student.meet();
    expect(student.state().waiting).toHaveLength(1);
    expect(trouble(student)).toBe('server-full');
    expect(student.state().carrier).toMatchObject({ unsent: 2 });
    expect(line.asked.filter(isPut)).toHaveLength(1);
    line.fault = () => undefined;
    await student.meet();
    expect(student.state().carrier).toMatchObject({ unsent: 0 });
  });

  it('keeps nothing of a wrong password, and never tries one that was refused again by itself', async () => {
    const teacher = computer('teacher');
    const wrong = { url: server.url, user: server.user, password: 'guess' };
    expect(await teacher.connect(wrong)).toMatchObject({ problems: [{ code: 'server-password' }] });
    expect(teacher.state().folder).toBeUndefined();
    await connect(teacher, line);
    line.fault = () => ({ kind: 'status', status: 401 });
    await teacher.meet();
    expect(teacher.state().carrier).toMatchObject({
      triesAgain: false,
      trouble: { code: 'server-password' },
    });
  });

  it('gives up on a server that is silent, and is free to try again', async () => {
    const patient = computer('teacher');
    await connect(patient, line);
    patient.close();
    const teacher = computer('teacher', { patience: 1_000 });
    line.fault = () => ({ kind: 'silence' });
    await teacher.meet();
    expect(trouble(teacher)).toBe('server-slow');
    line.fault = () => undefined;
    // A machine that does other things as well may need longer than this one waits.
    await vi.waitFor(async () => {
      await teacher.meet();
      expect(trouble(teacher)).toBeUndefined();
    }, 60_000);
  });

  it('says what stands at an address that is no folder of a WebDAV server', async () => {
    const teacher = computer('teacher');
    const { user, password } = server;
    const at = (url: string) => teacher.connect({ url, user, password });
    expect(await at(`${server.url}/nowhere`)).toMatchObject({
      problems: [{ code: 'server-not-there' }],
    });
    expect(await at('http://127.0.0.1:9')).toMatchObject({ problems: [{ code: 'server-away' }] });
    expect(await at('http://lessons.example')).toMatchObject({
      problems: [{ code: 'server-address' }],
    });
  });

  it('removes here what its writer took away there, and puts its own back', async () => {
    const [teacher, student] = [computer('teacher'), computer('student')];
    await connect(teacher);
    await connect(student);
    unwrap(teacher.folder.post(parcel('one')));
    await teacher.meet();
    await student.meet();
    expect(student.state().waiting).toHaveLength(1);
    fs.rmSync(path.join(server.folder, filesOnServer()[0]!));
    await student.meet();
    expect(student.state().waiting).toEqual([]);
    await teacher.meet();
    expect(filesOnServer()).toHaveLength(1);
  });

  it('removes nothing where all of it is gone, and puts it there anew when connected again', async () => {
    const [teacher, student] = [computer('teacher'), computer('student')];
    await connect(teacher);
    unwrap(teacher.folder.post(parcel('one')));
    await teacher.meet();
    await connect(student);
    fs.rmSync(path.join(server.folder, 'rungwise-shared'), { recursive: true });
    await student.meet();
    expect(trouble(student)).toBe('shared-home-gone');
    expect(student.state().waiting).toHaveLength(1);
    await connect(student);
    expect(filesOnServer()).toHaveLength(1);
    expect(trouble(student)).toBeUndefined();
  });

  it('goes on after the data folder was restored from an older copy, and loses neither', async () => {
    const [teacher, student] = [computer('teacher'), computer('student')];
    await connect(teacher);
    unwrap(teacher.folder.post(parcel('one')));
    await teacher.meet();
    teacher.close();
    fs.cpSync(path.join(root, 'teacher'), path.join(root, 'copy'), { recursive: true });
    const later = computer('teacher');
    unwrap(later.folder.post(parcel('two', 'ben')));
    await later.meet();
    later.close();
    fs.rmSync(path.join(root, 'teacher'), { recursive: true });
    fs.renameSync(path.join(root, 'copy'), path.join(root, 'teacher'));
    const restored = computer('teacher');
    // Written before it has seen what it forgot: under the number of the other.
    unwrap(restored.folder.post(parcel('three', 'cleo')));
    await restored.meet();
    await restored.meet();
    await connect(student);
    expect(
      student
        .state()
        .waiting.map((one) => one.student)
        .sort(),
    ).toEqual([...['ada', 'ben', 'cleo']]);
  });

  it('keeps one meeting at a time, however often it is asked', async () => {
    const teacher = computer('teacher');
    await connect(teacher, line);
    unwrap(teacher.folder.post(parcel('one')));
    line.asked.length = 0;
    await Promise.all([teacher.meet(), teacher.meet(), teacher.meet()]);
    expect(line.asked.filter(isPut).length).toBeLessThanOrEqual(2);
    expect(filesOnServer()).toHaveLength(1);
  });
});
