// What came from other computers shows wherever the player is: each kind makes its room read anew, and nothing else.
import { describe, expect, it } from 'vitest';
import { NOTHING_TRAVELLED, type Travelled } from '../../../../app/services/contract/shared.ts';
import { Travel } from '../../../../renderer/state/travel/travel.svelte.ts';

const QUEUE = [{ id: 'q-1' }];

/** What was asked of the rooms, in order. */
async function askedAfter(news: Partial<Travelled>, students = 0): Promise<readonly string[]> {
  const asked: string[] = [];
  const note = (what: string) => (about?: unknown) => {
    asked.push(about === undefined ? what : `${what} ${JSON.stringify(about)}`);
    return Promise.resolve();
  };
  const travel = new Travel({
    services: {},
    messages: { say: (text: string) => void asked.push(text) },
    shared: { load: note('folder') },
    desk: {
      readAgain: note('desk'),
      logsChanged: note('logs'),
      labelOf: ({ id, name }: { id: string; name: string }) => (id === '2' ? `${name} (2)` : name),
      students: Array.from({ length: students }),
    },
    library: { refresh: note('charts') },
    log: { readAgain: note('log') },
    settings: { load: note('settings'), now: { queue: QUEUE } },
    ladderSetup: { readAgain: note('ladders') },
    queue: { takeOver: note('queue') },
  } as unknown as ConstructorParameters<typeof Travel>[0]);
  await travel.arrived({ ...NOTHING_TRAVELLED, ...news });
  return asked;
}

describe('what came', () => {
  it.each<[string, Partial<Travelled>, readonly string[]]>([
    [
      'a setting, and the queue',
      { values: ['setting:queue'] },
      ['settings', 'queue [{"id":"q-1"}]'],
    ],
    ['a chart', { values: ['chart:k-1'] }, ['charts']],
    ['a task', { values: ['task:t-1'] }, ['desk']],
    ['a teacher’s student', { values: ['student:ada/head'] }, ['desk']],
    ['a ladder', { values: ['ladder:k-1'] }, ['ladders']],
    ['passes', { passes: 2 }, ['log']],
    ['what was taken in elsewhere', { values: ['taken:1f'] }, []],
  ])('%s', async (_, news, rooms) => {
    expect(await askedAfter(news)).toEqual([...rooms, 'folder']);
  });

  it('passes of students show in their logs', async () => {
    expect(await askedAfter({ passes: 1 }, 2)).toEqual(['logs', 'log', 'folder']);
  });

  it('who was taken off the list elsewhere is told by the name that tells two apart', async () => {
    const news = { values: ['student:2/head'], takenOff: [{ student: '2', name: 'Ada' }] };
    expect(await askedAfter(news)).toEqual([
      ...['desk', 'folder'],
      '‘Ada (2)’ was taken off the list on your other computer. The log stays.',
    ]);
  });

  it('who was removed for good elsewhere is told, and cannot be brought back', async () => {
    const news = { values: ['gone:x'], forGood: [{ student: '2', name: 'Ada' }] };
    expect(await askedAfter(news)).toEqual([
      ...['desk', 'folder'],
      '‘Ada (2)’ was removed for good on your other computer, so it went here, too.',
    ]);
  });

  it('a report of one of two namesakes is told by the name that tells them apart', async () => {
    const report = { student: '2', name: 'Ada', newPasses: 3, newQuestions: 0 };
    const asked = await askedAfter({ reports: [report] });
    expect(asked.at(-1)).toBe('Ada (2)’s report came in: 3 new passes.');
  });

  it('several reports of a student are told as one, those of many students in one remark', async () => {
    const of = (student: string, newPasses: number, newQuestions = 0) => {
      return { student, name: `S${student}`, newPasses, newQuestions };
    };
    const said = async (...reports: Travelled['reports']) =>
      (await askedAfter({ reports })).slice(4);
    expect(await said(of('a', 18), of('b', 2, 1), of('a', 18), of('c', 0, 2))).toEqual([
      'Sa’s report came in: 36 new passes.',
      'Sb’s report came in: 2 new passes and 1 new question.',
      'Sc’s report came in: 2 new questions.',
    ]);
    expect(await said(of('a', 18), of('b', 2), of('c', 0), of('d', 1, 1))).toEqual([
      'Reports of 4 students came in: 21 new passes and 1 new question.',
    ]);
  });

  it('a report is told by name, and two versions of a chart, too', async () => {
    const report = { student: 'ada', name: 'Ada', newPasses: 1, newQuestions: 0 };
    const asked = await askedAfter({ reports: [report], both: ['Low Tide (from Laptop)'] });
    expect(asked).toEqual([
      ...['charts', 'desk', 'logs ["ada"]', 'folder'],
      'A chart was changed on two computers. The other version is now “Low Tide (from Laptop)”.',
      'Ada’s report came in: 1 new pass.',
    ]);
  });
});
