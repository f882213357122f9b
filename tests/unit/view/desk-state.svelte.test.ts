// Desk and files in the view, against a machine side in memory that can be made to fail.
import { beforeEach, describe, expect, it } from 'vitest';
import { writeReport } from '../../../app/core/exchange/desk/report.ts';
import { writeTaskSheet } from '../../../app/core/exchange/desk/task-sheet.ts';
import { OWN_DESK } from '../../../app/core/progress/assignment.ts';
import { fail } from '../../../app/core/base/result.ts';
import { entriesOf, wordsOn } from '../../../app/core/log/teachers-word.ts';
import { type FakeServices, fakeServices } from '../../support/fake-services.ts';
import { fakeMemory } from '../../support/fake-memory.ts';
import { composeWorld } from '../../../renderer/shell/compose.ts';
import type { World } from '../../../renderer/state/world.ts';
import { assignments, chart, NOW, passes, reportOf, sheet } from '../exchange/desk/example.ts';

type Start = Parameters<typeof fakeServices>[0];

let fake: FakeServices;
let desk: World['desk'];
let deskFiles: World['deskFiles'];
let library: World['library'];
let messages: World['messages'];

async function begin(start: Start = {}): Promise<void> {
  fake = fakeServices(start);
  ({ desk, deskFiles, library, messages } = composeWorld(fake, fakeMemory()));
  await Promise.all([desk.load(), library.load()]);
}

const file = (text: string) => [new File([text], 'from-ada.json')];
const disk = fail({ code: 'not-saved', message: 'the disk is full', cure: 'Make room.' });

describe('a task sheet coming in', () => {
  beforeEach(() => begin());

  it('waits for a yes, then brings chart and assignments to the player’s own desk', async () => {
    await deskFiles.open(file(writeTaskSheet(sheet)));
    expect(deskFiles.incoming).toMatchObject({ kind: 'sheet', preview: { nothing: false } });
    expect(desk.own.assignments).toEqual([]);
    await deskFiles.take();
    expect(deskFiles.incoming).toBeUndefined();
    expect(desk.own.assignments).toEqual(assignments);
    expect(library.find(chart.id)).toEqual(chart);
    expect(desk.students).toEqual([]);
  });

  it('leaves no chart behind when the desk cannot be saved', async () => {
    await begin({ answers: { 'students.save': () => disk } });
    await deskFiles.open(file(writeTaskSheet(sheet)));
    await deskFiles.take();
    expect(library.charts).toEqual([]);
    expect(deskFiles.incoming?.kind).toBe('sheet'); // still there to be tried again
    expect(messages.remarks.at(-1)?.text).toContain('he disk is full');
  });

  it('puts a replaced chart back when the desk cannot be saved', async () => {
    const mine = { ...chart, title: 'My own words' };
    await begin({ charts: [mine], answers: { 'students.save': () => disk } });
    await deskFiles.open(file(writeTaskSheet(sheet)));
    await deskFiles.take();
    expect(library.find(chart.id)).toEqual(mine);
  });
});

describe('a practice report coming in', () => {
  beforeEach(() => begin());

  it('makes a student with a log of their own, and changes nothing the second time', async () => {
    await deskFiles.open(file(writeReport(reportOf())));
    await deskFiles.take();
    expect(desk.students.map(({ name }) => name)).toEqual(['Ada']);
    expect(await desk.passesOf('student-1')).toEqual(passes);
    expect(await desk.passesOf(OWN_DESK)).toEqual([]);
    await deskFiles.open(file(writeReport(reportOf())));
    expect(deskFiles.incoming).toMatchObject({ kind: 'report', merged: { nothing: true } });
  });

  it('is shown after the one it was opened with, a refused file in between passed over', async () => {
    const second = reportOf(passes.slice(0, 1), '2031-04-12T20:00:00+02:00');
    const texts = [writeReport(reportOf()), 'no report', writeReport(second)];
    await deskFiles.open(texts.map((text) => new File([text], 'from-ada.json')));
    const first = deskFiles.incoming;
    deskFiles.putAway();
    await expect.poll(() => deskFiles.incoming).not.toBe(first);
    expect(deskFiles.incoming).toMatchObject({ report: { written: second.written } });
    expect(messages.remarks.at(-1)?.text).toContain('was not taken in');
    await deskFiles.take();
    expect(deskFiles.incoming).toBeUndefined();
  });

  it('can be given to another student of the desk', async () => {
    const mira = {
      id: 'mira',
      name: 'Mira',
      since: '2031-01-01T10:00:00Z',
      assignments: [],
      comments: [],
    };
    await desk.save(mira);
    await deskFiles.open(file(writeReport(reportOf())));
    await deskFiles.choose('mira');
    await deskFiles.take();
    expect(desk.students.map(({ name }) => name)).toEqual(['Mira']);
    expect(await desk.passesOf('mira')).toHaveLength(passes.length);
  });

  it('is refused whole when it is broken, with the file named', async () => {
    await deskFiles.open(file(writeReport(reportOf()).slice(0, 900)));
    expect(deskFiles.incoming).toBeUndefined();
    expect(messages.remarks.at(-1)?.text).toContain('The file ‘from-ada.json’ was not taken in');
    expect(desk.students).toEqual([]);
  });
});

describe('the desk', () => {
  it('keeps revised terms and what was taken back', async () => {
    await begin();
    await desk.give(desk.own, assignments);
    const [first] = desk.own.assignments;
    await desk.reviseTerms(desk.own, first!, { ...first!.terms, due: '2031-06-01' });
    expect(desk.own.assignments[0]!.earlier).toHaveLength(1);
    await desk.withdraw(desk.own, desk.own.assignments[1]!);
    expect(desk.own.assignments).toHaveLength(3);
    expect(desk.own.assignments[1]).toHaveProperty('withdrawn');
  });

  it('keeps a teacher’s verdict in the student’s log, sends it home, and takes it back', async () => {
    const student = { ...desk.own, id: 'student-1', name: 'Ada' };
    await begin();
    await deskFiles.open(file(writeReport(reportOf())));
    await deskFiles.take();
    const first = async () => (await desk.passesOf('student-1'))[0]!;
    expect(
      await desk.judge(student, await first(), { verdict: 'missed', remark: 'Late thumb.' }),
    ).toBe(true);
    expect(await first()).toMatchObject({ verdict: 'missed', source: 'teacher' });
    const words = wordsOn(await desk.passesOf('student-1'));

    await desk.judge(student, await first(), { verdict: 'as-before', remark: '' });
    expect(await first()).toMatchObject({ verdict: 'clean', source: 'self' });

    // On the student's machine.
    await begin();
    await desk.append(OWN_DESK, entriesOf(passes[0]!, reportOf().units[0]!));
    await deskFiles.open(file(writeTaskSheet({ ...sheet, words })));
    expect(deskFiles.incoming).toMatchObject({ preview: { newWords: [{ pass: passes[0] }] } });
    await deskFiles.take();
    expect((await desk.passesOf(OWN_DESK))[0]).toMatchObject({
      source: 'teacher',
      word: { remark: 'Late thumb.', before: { verdict: 'clean', source: 'self' } },
    });
  });

  it('leaves a sheet waiting when its verdicts cannot be written', async () => {
    const problem = {
      ...{ code: 'log-unwritable', message: 'full', cure: 'room' },
      since: '2031-01-01T10:00:00Z',
    };
    await begin({ answers: { 'log.append': () => ({ stored: 0, pending: 1, problem }) } });
    const word = { amends: passes[0]!.id, at: NOW, verdict: 'missed', source: 'teacher' } as const;
    fake.logged.push(...entriesOf(passes[0]!, reportOf().units[0]!));
    await deskFiles.open(file(writeTaskSheet({ ...sheet, words: [word] })));
    await deskFiles.take();
    expect(deskFiles.incoming?.kind).toBe('sheet');
    expect([library.charts, desk.own.assignments]).toEqual([[], []]);
  });

  it('does not count a log that could not be written as taken in', async () => {
    const problem = {
      code: 'log-unwritable',
      message: 'full',
      cure: 'room',
      since: '2031-01-01T10:00:00Z',
    };
    await begin({ answers: { 'log.append': () => ({ stored: 0, pending: 3, problem }) } });
    await deskFiles.open(file(writeReport(reportOf())));
    await deskFiles.take();
    expect(desk.students).toEqual([]);
    expect(library.charts).toEqual([]);
    expect(deskFiles.incoming?.kind).toBe('report');
  });
});
