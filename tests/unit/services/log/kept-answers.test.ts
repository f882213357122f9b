// Where units stand, and what broke in them, is kept between two questions: after whatever was written it is what a first question gets.
import path from 'node:path';
import { expect, it } from 'vitest';
import { dateOfDay, dayNumber } from '../../../../app/core/log/days.ts';
import type { LogEntry } from '../../../../app/core/model/pass.ts';
import { answerFigures } from '../../../../app/services/machine/log/answer-figures.ts';
import { type LogStore, openLogStore } from '../../../../app/services/machine/log/log-store.ts';
import { unwriteLog } from '../../../../app/services/machine/log/write-log.ts';
import { dice } from '../../../bench/honest/players.ts';
import { samplePass, sampleUnit, temporaryDirectory } from '../samples.ts';

const FIRST = dayNumber('2030-01-01');
const BARS = ['a', 'b', 'c'];
const CHART = 'chart';

function openLog(): LogStore {
  const root = temporaryDirectory();
  const opened = openLogStore({
    file: path.join(root, 'log.sqlite'),
    backups: path.join(root, 'backups'),
    setAside: path.join(root, 'set-aside'),
    now: () => new Date(),
    newId: () => crypto.randomUUID(),
  });
  if (opened.kind === 'closed') throw new Error(opened.problem.message);
  return opened.log;
}

const sourceOf = ({ read }: LogStore) => ({
  ...read,
  passes: (query: Parameters<typeof read.passes>[0]) => read.passes(query).passes,
  lately: (asked: Parameters<typeof read.lately>[0]) => read.lately(asked).passes,
});

function pass(n: number, day: number, roll: () => number): LogEntry {
  const fingerprint = BARS[Math.floor(roll() * BARS.length)]!;
  const missed = roll() < 0.4;
  return {
    kind: 'pass',
    unit: sampleUnit(fingerprint),
    pass: samplePass(`p${n}`, {
      at: `${dateOfDay(FIRST + day)}T18:${String(n % 60).padStart(2, '0')}:00.000+02:00`,
      chart: { id: CHART, title: 'Chart' },
      unit: { key: `section:${fingerprint}`, name: fingerprint, fingerprint },
      rung: { bpm: 60 + Math.floor(30 * roll()), beat: 'quarter', index: 0, of: 5, target: 120 },
      verdict: missed ? 'missed' : 'clean',
      duration: 30,
    }),
  };
}

const word = (amends: string, roll: () => number): LogEntry => ({
  kind: 'amendment',
  amendment: {
    amends,
    at: '2030-06-01T18:00:00.000+02:00',
    verdict: roll() < 0.5 ? 'clean' : 'missed',
    source: 'self',
  },
});

it.each([1, 2, 3])('log %i', async (seed) => {
  const roll = dice(seed);
  const log = openLog();
  const marked = { ...sourceOf(log), mark: (_desk: string, bars: string) => log.mark(bars) };
  const kept = answerFigures(marked);
  const of = BARS.map((bars) => ({ chart: CHART, bars }));
  const rowsIn = () =>
    (log.database.prepare('select coalesce(max(row), 0) as n from passes').get() as { n: number })
      .n;
  let count = 0;
  for (let day = 0; day < 40; day++) {
    const what = roll();
    if (what < 0.6) {
      const entries = Array.from({ length: 1 + Math.floor(8 * roll()) }, () =>
        pass(count++, day, roll),
      );
      log.write('self', entries);
    } else if (what < 0.85) log.write('self', [word(`p${Math.floor(roll() * (count + 2))}`, roll)]);
    else if (rowsIn() > 0) {
      const last = rowsIn();
      unwriteLog(log.database, { passes: [[Math.max(1, last - 2), last]], amendments: [] });
    }
    const asOf = dateOfDay(FIRST + day);
    const standings = of.map((bars) => ({ ...bars, beat: 'quarter', target: 90, asOf }) as const);
    const anew = answerFigures(sourceOf(log));
    for (const latest of [3, 60]) {
      const asked = { desk: 'self', of, latest };
      expect(await kept['log.worst'](asked)).toEqual(await anew['log.worst'](asked));
    }
    const asked = { desk: 'self', of: standings };
    const told = await kept['log.standings'](asked);
    expect(told).toEqual(await anew['log.standings'](asked));
    expect((await kept['log.standings'](asked))[0]).toBe(told[0]);
  }
  log.close();
});

it('what is written of some bars leaves what is kept of others', async () => {
  const roll = dice(4);
  const log = openLog();
  const entries = Array.from({ length: 60 }, (_, n) => pass(n, Math.floor(n / 6), roll));
  log.write('self', entries);
  const before = new Map(BARS.map((bars) => [bars, log.mark(bars)]));
  const one = pass(100, 11, roll);
  log.write('self', [one]);
  const changed = BARS.filter((bars) => log.mark(bars) !== before.get(bars));
  expect(changed).toEqual([one.kind === 'pass' && one.unit.fingerprint]);
  log.close();
});
