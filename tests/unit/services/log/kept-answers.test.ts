// What is kept of answers is never stale: random histories of a log, its answers beside those made with nothing kept.
import crypto from 'node:crypto';
import fs from 'node:fs';
import path from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import fc from 'fast-check';
import { afterAll, expect, it } from 'vitest';
import { dateOfDay, dayNumber } from '../../../../app/core/log/days.ts';
import type { LogEntry } from '../../../../app/core/model/pass.ts';
import { answerLog } from '../../../../app/services/machine/log/answer-log.ts';
import { ANSWERS_FORM, Kept } from '../../../../app/services/machine/log/kept.ts';
import { copyLog } from '../../../../app/services/machine/log/log-backups.ts';
import { migrate } from '../../../../app/services/machine/log/log-schema.ts';
import { type LogStore, openLogStore } from '../../../../app/services/machine/log/log-store.ts';
import { pairsIn } from '../../../../app/services/machine/log/pairs.ts';
import { readLog } from '../../../../app/services/machine/log/read-log.ts';
import { unwriteLog } from '../../../../app/services/machine/log/write-log.ts';
import { dice } from '../../../bench/honest/players.ts';
import { ownDesk } from '../../../browser/record/diary.ts';
import { runs } from '../../../support/runs.ts';
import { samplePass, sampleUnit, temporaryDirectory } from '../samples.ts';

const roots: string[] = [];
afterAll(() => roots.forEach((root) => fs.rmSync(root, { recursive: true, force: true })));

const FIRST = dayNumber('2030-01-01');
const BARS = ['a', 'b', 'c'];
const CHARTS = ['k-1', 'k-2'];
const DESKS = ['self', 'ada'];

interface Place {
  readonly root: string;
  log: LogStore;
}

const fileIn = (root: string): string => path.join(root, 'log.sqlite');

function open(root: string, flaw?: string): LogStore {
  const opened = openLogStore(
    {
      file: fileIn(root),
      backups: path.join(root, 'backups'),
      setAside: path.join(root, 'set-aside'),
      now: () => new Date(),
      newId: () => crypto.randomUUID(),
    },
    flaw,
  );
  if (opened.kind === 'closed') throw new Error(opened.problem.message);
  return opened.log;
}

function newPlace(): Place {
  const root = temporaryDirectory();
  roots.push(root);
  return { root, log: open(root) };
}

type Roll = () => number;
const one = <T>(list: readonly T[], roll: Roll): T => list[Math.floor(roll() * list.length)]!;

/** A pass on one of few bars, under one of two names, on some day: also long before what is there, or years ahead. */
function pass(id: string, day: number, roll: Roll): LogEntry {
  const fingerprint = one(BARS, roll);
  const on = roll() < 0.9 ? day : Math.floor(roll() * 400);
  const minute = String(Math.floor(roll() * 60)).padStart(2, '0');
  return {
    kind: 'pass',
    unit: sampleUnit(fingerprint),
    pass: samplePass(id, {
      at: `${dateOfDay(FIRST + on)}T18:${minute}:00.000+02:00`,
      chart: { id: one(CHARTS, roll), title: 'Chart' },
      unit: {
        key: roll() < 0.8 ? `section:${fingerprint}` : 'section:Verse',
        name: 'Verse',
        fingerprint,
      },
      rung: { bpm: 60 + Math.floor(30 * roll()), beat: 'quarter', index: 0, of: 5, target: 120 },
      verdict: one(['clean', 'clean', 'missed', 'unjudged'], roll),
      cold: roll() < 0.2,
      duration: 30,
      ...(roll() < 0.3
        ? { changes: [{ ...HEARD, timing: one(['late', 'on-time'] as const, roll) }] }
        : {}),
    }),
  };
}

const HEARD = { bar: 0, change: 0, from: 'G', to: 'D', confidence: 1, chord: 'right' } as const;

const word = (amends: string, roll: Roll): LogEntry => ({
  kind: 'amendment',
  amendment: {
    amends,
    at: '2030-06-01T18:00:00.000+02:00',
    verdict: one(['clean', 'missed'], roll),
    source: 'self',
    turn: 1 + Math.floor(roll() * 5),
  },
});

/** What may happen to a log between two questions. */
const happenings: readonly ((at: Place, roll: Roll, day: number) => void | Promise<void>)[] = [
  ({ log }, roll, day) => log.write(one(DESKS, roll), somePasses(1 + roll() * 8, day, roll)),
  ({ log }, roll, day) => log.write('self', somePasses(3, day, roll)),
  // Words, some of them on passes that come later or were said already.
  ({ log }, roll) =>
    log.write(one(DESKS, roll), [word(someId(roll), roll), word(someId(roll), roll)]),
  // Another machine's log is taken over: much that is known, in its own order.
  ({ log }, roll) => log.write('self', somePasses(20, Math.floor(roll() * 60), roll).reverse()),
  // An archive that was brought in is taken out again.
  ({ log }, roll) => {
    const [passes, words] = ['passes', 'amendments'].map((table) => rowsIn(log, table));
    const span = (last: number) => [[Math.max(1, last - Math.floor(roll() * 4)), last]] as const;
    unwriteLog(log.database, { passes: span(passes!), amendments: span(words!) });
  },
  // The program is started again, with what was kept or killed before it was.
  (at, roll) => {
    if (roll() < 0.7) at.log.keepAnswers();
    at.log.close();
    at.log = open(at.root);
  },
  // The log is damaged, and made anew of its facts: rows and units are numbered anew.
  (at) => {
    at.log.keepAnswers();
    at.log.close();
    at.log = open(at.root, 'test');
  },
  // An earlier copy is put in its place by hand.
  async (at, roll) => {
    const copy = path.join(at.root, 'copy.sqlite');
    at.log.keepAnswers();
    if (!fs.existsSync(copy) || roll() < 0.5) await copyLog(at.log.database, copy);
    else {
      at.log.close();
      for (const end of ['', '-wal', '-shm']) fs.rmSync(fileIn(at.root) + end, { force: true });
      fs.copyFileSync(copy, fileIn(at.root));
      at.log = open(at.root);
    }
  },
];

const someId = (roll: Roll): string => `p${Math.floor(roll() * 150)}`;
const somePasses = (count: number, day: number, roll: Roll): LogEntry[] =>
  Array.from({ length: Math.ceil(count) }, () => pass(someId(roll), day, roll));

const rowsIn = ({ database }: LogStore, table: string): number =>
  (database.prepare(`select coalesce(max(row), 0) as n from ${table}`).get() as { n: number }).n;

const [set] = ownDesk('2030-05-01', '2030-01-15T10:00:00Z').assignments;
const ASSIGNMENTS = [
  { ...set!, id: 'a', chart: { id: 'k-1', title: 'Chart' } },
  {
    ...set!,
    id: 'b',
    chart: { id: 'k-1', title: 'Chart' },
    bars: { fingerprint: 'a', since: set!.given },
    otherBars: [{ fingerprint: 'b', at: set!.given, counts: true }],
  },
  {
    ...set!,
    id: 'c',
    chart: { id: 'k-2', title: 'Chart' },
    unit: { ...set!.unit, key: 'section:c' },
  },
].map(({ bars, ...rest }, i) => (i === 1 ? { ...rest, bars: bars! } : rest));

/** Every question whose answer may be kept. */
async function answers(read: LogStore['read'], asOf: string): Promise<unknown> {
  const ask = answerLog(read);
  const all: unknown[] = [];
  for (const desk of DESKS) {
    const of = CHARTS.flatMap((chart) => BARS.map((bars) => ({ chart, bars })));
    const standings = of.map((bars) => ({ ...bars, beat: 'quarter', target: 90, asOf }) as const);
    all.push(
      await ask['log.units']({ desk }),
      await ask['log.worst']({ desk, of, latest: 3 }),
      await ask['log.worst']({ desk, of, latest: 60 }),
      await ask['log.standings']({ desk, of: standings }),
      await ask['log.places']({ desk, asOf, assignments: ASSIGNMENTS }),
    );
  }
  return JSON.parse(JSON.stringify(all));
}

function nothingKept(): Kept {
  const database = new DatabaseSync(':memory:');
  migrate(database);
  return new Kept(database);
}

it('of random logs', async () => {
  await fc.assert(
    fc.asyncProperty(fc.integer({ min: 1, max: 1e9 }), async (seed) => {
      const roll = dice(seed);
      const at = newPlace();
      let day = 5;
      for (let step = 0; step < 20; step++) {
        const happens = step < 4 ? happenings[step % 2]! : one(happenings, roll);
        await happens(at, roll, day);
        // Clocks go forward, stand still, and go back.
        day = Math.max(0, day + one([0, 1, 1, 3, 30, -1, -10], roll));
        const asOf = dateOfDay(FIRST + day);
        const anew = readLog(at.log.database, nothingKept());
        expect(await answers(at.log.read, asOf)).toEqual(await answers(anew, asOf));
      }
      at.log.close();
    }),
    { numRuns: runs(3, 200) },
  );
});

const OF_P2 = `(select desk from passes where id = 'p2'), 'p2'`;
it.each([
  `update passes set verdict = verdict where id = 'p2'`,
  `delete from passes where id = 'p2'`,
  `insert into amendments (desk, pass, record, sum) values (${OF_P2}, '{}', 1)`,
  `update amendments set record = '[]' where pass = 'p2'`,
  `delete from amendments where pass = 'p2'`,
])('whatever writes, the mark is drawn anew: %s', (sql) => {
  const { log } = newPlace();
  const entries = BARS.map((bars, i) => [`p${i}`, bars] as const).map(
    ([id, fingerprint]): LogEntry => ({
      kind: 'pass',
      unit: sampleUnit(fingerprint),
      pass: samplePass(id, { unit: { key: `section:${id}`, name: id, fingerprint } }),
    }),
  );
  log.write('self', [...entries, word('p2', dice(1)), word('p1', dice(1))]);
  const marks = () =>
    BARS.map((bars) => pairsIn(log.database, { desk: 'self', bars: [bars] }).mark);
  const before = marks();
  log.database.exec(sql);
  expect(marks().map((mark, i) => mark === before[i])).toEqual([true, true, false]);
  log.close();
});

/** How often a question made the log read passes. */
function counting(log: LogStore) {
  let made = 0;
  const kept = new (class extends Kept {
    override inLog<T>(
      ...[question, mark, make, holds]: Parameters<typeof Kept.prototype.inLog<T>>
    ) {
      // Where nothing was played nothing is kept.
      const counted = () => ((made += mark === '' ? 0 : 1), make());
      return super.inLog(question, mark, counted, holds);
    }
  })(log.database);
  return { read: readLog(log.database, kept), kept, made: () => made };
}

it('answers of a program that reckons in another way are not taken: count ANSWERS_FORM up where this changes', async () => {
  const { log } = newPlace();
  log.write('self', somePasses(120, 5, dice(4)));
  await answers(log.read, '2031-06-01');
  log.keepAnswers();
  const rows = log.database.prepare('select question, answer from kept order by question').all();
  const kept = rows.map(({ question, answer }) => [
    question,
    JSON.parse(String(answer), (_, value: unknown) =>
      typeof value === 'number' ? Number(value.toPrecision(6)) : value,
    ),
  ]);
  log.close();
  const sum = crypto.createHash('sha1').update(JSON.stringify(kept)).digest('hex');
  expect(`form ${ANSWERS_FORM}: ${sum}`).toMatchInlineSnapshot(
    `"form 4: b561ce81c411e70e30bf9ed4fa48bf884b186021"`,
  );
});

it('on the next day, after another start, what was not played is not read again', async () => {
  const roll = dice(4);
  const at = newPlace();
  at.log.write('self', somePasses(120, 5, roll));
  const first = counting(at.log);
  await answers(first.read, '2031-06-01');
  expect(first.made()).toBeGreaterThan(10);
  first.kept.write();
  at.log.close();
  at.log = open(at.root);
  const again = counting(at.log);
  await answers(again.read, '2031-06-02');
  expect(again.made()).toBe(0);
  at.log.write('self', [pass('more', 510, dice(9))]);
  await answers(again.read, '2031-06-03');
  // Of one unit its counts, its two looks at what broke, its standing, and what is set of it.
  expect(again.made()).toBeGreaterThan(3);
  expect(again.made()).toBeLessThan(8);
  at.log.close();
});

it('an answer that was changed on the disk is made anew', async () => {
  const at = newPlace();
  at.log.write('self', somePasses(60, 5, dice(6)));
  const asked = await answers(at.log.read, '2030-03-01');
  at.log.keepAnswers();
  at.log.close();
  const database = new DatabaseSync(fileIn(at.root));
  database.exec(`update kept set answer = replace(answer, 'clean', 'cleam')`);
  database.exec(`update kept set answer = replace(answer, '1', '2')`);
  database.close();
  at.log = open(at.root);
  expect(await answers(at.log.read, '2030-03-01')).toEqual(asked);
  at.log.close();
});

it('of a desk that was taken out nothing is kept, also of what was not written yet', async () => {
  const at = newPlace();
  for (const desk of DESKS) at.log.write(desk, somePasses(40, 5, dice(7)));
  await answers(at.log.read, '2030-03-01');
  await at.log.forget((desk) => desk === 'ada');
  at.log.keepAnswers();
  expect(at.log.database.prepare(`select question from kept`).all()).toEqual([]);
  await answers(at.log.read, '2030-03-01');
  at.log.keepAnswers();
  const kept = at.log.database.prepare(`select question from kept where question like '%ada%'`);
  expect(kept.all()).toEqual([]);
  at.log.close();
});
