// The log as a database: what goes in comes out, each fact once, and the questions are answered as core would.
import fs from 'node:fs';
import path from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { practiceDays } from '../../../../app/core/log/days.ts';
import { summarise } from '../../../../app/core/log/per-unit.ts';
import { settle } from '../../../support/settle.ts';
import type { LogEntry, PassRecord } from '../../../../app/core/model/pass.ts';
import { fullFlaw } from '../../../../app/services/machine/log/check-log.ts';
import { backupsIn } from '../../../../app/services/machine/log/log-backups.ts';
import { worthKeeping } from '../../../../app/services/machine/store/retention.ts';
import { type LogStore, openLogStore } from '../../../../app/services/machine/log/log-store.ts';
import { openToRead } from '../../../../app/services/machine/log/open-log.ts';
import { readLog } from '../../../../app/services/machine/log/read-log.ts';
import { memoryLog } from '../../../../app/services/machine/log/memory-log.ts';
import { amendment, passEntry, samplePass, standingClock, temporaryDirectory } from '../samples.ts';

let root: string;
let store: LogStore;
const places = () => ({
  file: path.join(root, 'log.sqlite'),
  backups: path.join(root, 'backups', 'log'),
  setAside: path.join(root, 'set-aside'),
});
function open(at?: string): LogStore {
  const opened = openLogStore({ ...places(), now: standingClock(at), newId: () => 'this-log' });
  if (opened.kind === 'closed') throw new Error(opened.problem.message);
  return (store = opened.log);
}
function reopen(at?: string): LogStore {
  store.close();
  return open(at);
}
const ids = (): string[] => store.read.passes({ desk: 'self' }).passes.map(({ id }) => id);

beforeEach(() => {
  root = temporaryDirectory();
  open();
});
afterEach(() => {
  store.close();
  fs.rmSync(root, { recursive: true, force: true });
});

describe('what is written', () => {
  it('is there at the next start, to the last field', () => {
    const entry = passEntry('a', { mood: 'calm', underrun: true } as never);
    store.write('self', [entry]);
    reopen();
    expect(store.read.passes({ desk: 'self' }).passes).toEqual([(entry as { pass: object }).pass]);
    expect(store.read.bars(['f-verse', 'unknown'])).toEqual([(entry as { unit: object }).unit]);
  });

  it('counts once, whatever comes again', () => {
    store.write('self', [passEntry('a'), amendment('a', '2031-04-05T20:00:00Z')]);
    store.write('self', [
      passEntry('a', { verdict: 'missed' }),
      amendment('a', '2031-04-05T20:00:00Z'),
    ]);
    expect(store.read.units({ desk: 'self' })).toMatchObject([{ clean: 0, missed: 1 }]);
    expect(fullFlaw(store.database)).toBeUndefined();
  });

  it('follows a word that came before its pass', () => {
    store.write('self', [amendment('a', '2031-04-05T20:00:00Z')]);
    store.write('self', [passEntry('a')]);
    expect(store.read.passes({ desk: 'self' }).passes[0]).toMatchObject({
      verdict: 'missed',
      source: 'teacher',
    });
    expect(store.read.units({ desk: 'self' })).toMatchObject([{ clean: 0, missed: 1 }]);
  });

  it('is all of a call or nothing', () => {
    const bad = { kind: 'pass', pass: { ...samplePass('b'), at: null }, unit: null } as never;
    expect(() => store.write('self', [passEntry('a'), bad])).toThrow();
    expect(ids()).toEqual([]);
  });
});

describe('questions', () => {
  beforeEach(() => {
    store.write('self', [
      passEntry('late', { at: '2031-04-05T10:00:00.000-05:00' }),
      passEntry('early', { at: '2031-04-05T14:00:00.000+02:00' }),
      passEntry('next', { at: '2031-04-06T00:00:00.000Z', source: 'ear', verdict: 'missed' }),
      passEntry('form', { unit: { key: 'form', name: 'All', fingerprint: 'f-all' } }),
    ]);
    store.write('st-1', [passEntry('hers')]);
  });
  const asked = (query: object) =>
    store.read.passes({ desk: 'self', ...query }).passes.map(({ id }) => id);

  it('are about one desk, in order of the moment', () => {
    expect(asked({})).toEqual(['early', 'late', 'form', 'next']);
    expect(asked({ desk: 'st-1' })).toEqual(['hers']);
  });
  it('narrow to a unit, to bars, to days, to the latest', () => {
    expect(asked({ chart: 'k-1', unit: 'section:Verse' })).toEqual(['early', 'late', 'next']);
    expect(asked({ chart: 'k-1', bars: 'f-all' })).toEqual(['form']);
    expect(asked({ since: '2031-04-06' })).toEqual(['next']);
    expect(asked({ until: '2031-04-05' })).toEqual(['early', 'late', 'form']);
    expect(asked({ latest: 2 })).toEqual(['form', 'next']);
  });
  it('count units by judge', () => {
    const [unit] = store.read.units({ desk: 'self', judge: 'ear' });
    expect(unit).toMatchObject({ clean: 0, missed: 1, judgedBy: { self: 0, ear: 1 } });
  });

  it.each([
    ['seam:3:2+1', 'join:3:2+1'],
    ['line:Verse:Hook:Guitar 1:alone', 'lead:Verse:Hook:Guitar 1:alone'],
    ['tightest:Verse', 'hardest:Verse'],
  ])('find passes of the unit %s by its old and its new name', (before, now) => {
    store.write('self', [
      passEntry('old', { unit: { key: before, name: 'x', fingerprint: 'f-x' } }),
      passEntry('new', { unit: { key: now, name: 'x', fingerprint: 'f-x' } }),
    ]);
    for (const unit of [before, now]) {
      expect(asked({ chart: 'k-1', unit }).toSorted()).toEqual(['new', 'old']);
    }
    expect(fullFlaw(store.database)).toBeUndefined();
  });
});

/** Passes and words of a few units, days and judges, in any order. */
const anyEntries: fc.Arbitrary<LogEntry[]> = fc.array(
  fc
    .record({
      id: fc.integer({ min: 0, max: 12 }).map((n) => `p${n}`),
      day: fc.integer({ min: 1, max: 4 }),
      hour: fc.integer({ min: 0, max: 23 }),
      unit: fc.constantFrom('Verse', 'Bridge'),
      verdict: fc.constantFrom('clean', 'missed', 'unjudged'),
      source: fc.constantFrom('self', 'ear', 'pedal'),
      bpm: fc.integer({ min: 40, max: 200 }),
      word: fc.constantFrom('none', 'none', 'player', 'teacher'),
    })
    .map(({ id, day, hour, unit, verdict, source, bpm, word }): LogEntry => {
      const at = `2031-04-0${day}T${String(hour).padStart(2, '0')}:00:00.000+02:00`;
      if (word === 'teacher') return amendment(id, at);
      if (word === 'player') {
        return { kind: 'amendment', amendment: { amends: id, at, verdict, source } };
      }
      return passEntry(id, {
        at,
        verdict: verdict as 'clean',
        source,
        unit: { key: `section:${unit}`, name: unit, fingerprint: `f-${unit}` },
        rung: { bpm, beat: 'quarter', index: 0, of: 3, target: 120 },
      });
    }),
  { maxLength: 40 },
);

it('answers as core counts from all entries, however they come in (law)', () => {
  fc.assert(
    fc.property(anyEntries, fc.integer({ min: 1, max: 7 }), (entries, size) => {
      const log = memoryLog();
      for (let at = 0; at < entries.length; at += size) {
        log.write('self', entries.slice(at, at + size));
      }
      const settled = settle(entries);
      const { passes } = log.read.passes({ desk: 'self' });
      const byId = (all: readonly PassRecord[]) => all.toSorted((a, b) => (a.id < b.id ? -1 : 1));
      expect(byId(passes)).toEqual(byId(settled));
      const brief = (all: readonly { unit: { key: string }; clean: number; missed: number }[]) =>
        all.map(({ unit, clean, missed }) => [unit.key, clean, missed]).toSorted();
      expect(brief(log.read.units({ desk: 'self' }))).toEqual(brief(summarise(settled)));
      const days = log.read.days({ desk: 'self' });
      expect(
        days.map(({ date, clean, missed, unjudged }) => [date, clean + missed + unjudged]),
      ).toEqual(practiceDays(settled).map(({ date, passes: n }) => [date, n]));
    }),
    { numRuns: 200 },
  );
});

describe('a database that is damaged', () => {
  const many = (from: number, to: number) =>
    Array.from({ length: to - from }, (_, i) => passEntry(`p${from + i}`));

  it('is made anew of what is whole in it and in its fullest copy, and kept', async () => {
    store.write('self', many(0, 50));
    await store.backUp(new Date('2031-04-05T12:00:00Z'));
    store.write('self', many(50, 60));
    store.close();
    const { file } = places();
    const bytes = fs.readFileSync(file);
    bytes.fill(0xff, 4096 * 2, 4096 * 4);
    fs.writeFileSync(file, bytes);
    open();
    expect(store.problems).toMatchObject([{ code: 'log-mended' }]);
    expect(ids().length).toBeGreaterThanOrEqual(50);
    expect(fullFlaw(store.database)).toBeUndefined();
    expect(fs.readdirSync(path.join(root, 'set-aside')).length).toBeGreaterThan(0);
    reopen();
    expect(store.problems).toEqual([]);
  });

  it('that is no database at all is set aside and its copy used', async () => {
    store.write('self', many(0, 5));
    await store.backUp(new Date('2031-04-05T12:00:00Z'));
    store.close();
    fs.writeFileSync(
      places().file,
      'not a database, but a long enough text to be taken for one'.repeat(20),
    );
    open();
    expect(ids()).toHaveLength(5);
    expect(store.problems[0]?.message).toContain(path.join(root, 'set-aside'));
  });

  // Bytes of the head by number: sqlite.org/fileformat.html, 1.3.
  it.each([
    ['its schema format', 47, 7],
    ['its version, taken away', 63, 0],
    ['the kind of its first page', 100, 0],
    ['the number of tables on it', 104, 0],
  ])('in its head (%s) is set aside and its copy used', async (_, at, value) => {
    store.write('self', many(0, 5));
    await store.backUp(new Date('2031-04-05T12:00:00Z'));
    store.close();
    const { file } = places();
    const bytes = fs.readFileSync(file);
    expect(bytes[at]).not.toBe(value);
    bytes[at] = value;
    fs.writeFileSync(file, bytes);
    open();
    expect(ids()).toHaveLength(5);
    expect(store.problems).toMatchObject([{ code: 'log-mended' }]);
  });

  it('in which one record was changed says so', () => {
    store.write('self', many(0, 3));
    store.database.exec(
      `update passes set record = replace(record, '"verdict":"clean"', '"verdict":"missed"') where id = 'p1'`,
    );
    expect(store.read.passes({ desk: 'self' })).toMatchObject({
      changed: 1,
      passes: { length: 2 },
    });
    expect(fullFlaw(store.database)).toContain('was changed');
    reopen();
    expect(store.problems).toMatchObject([{ code: 'log-mended' }]);
  });

  it.each([
    ['a tally', `update tallies set passes = 9`],
    ['the seconds of a tally', `update tallies set seconds = seconds + 0.01`],
    ['the fastest tempo of a tally', `update tallies set fastest = fastest * 2`],
    ['a verdict to count by', `update passes set verdict = 'missed'`],
    ['a moment', `update passes set instant = instant + 1 where id = 'p1'`],
    ['a tempo to count by', `update passes set quarters = quarters + 0.01 where id = 'p1'`],
    ['seconds to count by', `update passes set seconds = seconds + 0.01 where id = 'p1'`],
  ])('in %s is put right from the records', (_, fault) => {
    store.write('self', many(0, 3));
    const asked = () => [
      store.read.units({ desk: 'self' }),
      store.read.days({ desk: 'self' }),
      store.read.passes({ desk: 'self' }).passes,
    ];
    const before = asked();
    store.database.exec(fault);
    reopen();
    expect(store.problems).toMatchObject([{ code: 'log-mended' }]);
    expect(asked()).toEqual(before);
  });

  it('and was made anew by a program that was killed before it was in its place is found there', () => {
    store.write('self', many(0, 3));
    store.close();
    const { file } = places();
    fs.renameSync(file, `${file}.whole`);
    fs.writeFileSync(file, 'what was damaged');
    fs.writeFileSync(`${file}-wal`, 'what waited beside it');
    open();
    expect(ids()).toHaveLength(3);
    expect(store.problems).toEqual([]);
  });

  it('of a newer program is left as it is', () => {
    store.database.exec('pragma user_version = 99');
    store.close();
    const opened = openLogStore({ ...places(), now: standingClock(), newId: () => 'x' });
    expect(opened).toMatchObject({ kind: 'closed', problem: { code: 'store-newer' } });
    expect(new DatabaseSync(places().file).prepare('pragma user_version').get()).toEqual({
      user_version: 99,
    });
  });
});

describe('a database of the first form', () => {
  const written = [passEntry('a'), passEntry('b'), amendment('a', '2031-04-05T20:00:00Z')];
  const asFirstForm = (): void => {
    store.write('self', written);
    store.database.exec(FIRST_FORM_AGAIN);
    store.close();
  };
  const asked = { desk: 'self', chart: 'k-1', bars: 'f-verse' };
  const answers = ({ passes, units, worst, lately }: LogStore['read']) => [
    passes(asked).passes,
    units({ desk: 'self' }),
    worst({ ...asked, latest: 5 }),
    lately({ ...asked, asOf: '2031-04-05' }),
  ];

  it('is brought to the present one, and answers as before', () => {
    const before = answers((store.write('self', written), store.read));
    expect(before[0]).toHaveLength(2);
    asFirstForm();
    reopen();
    expect(store.problems).toEqual([]);
    expect(fullFlaw(store.database)).toBeUndefined();
    expect(answers(store.read)).toEqual(before);
    store.write('self', [passEntry('c')]);
    expect(store.read.passes(asked).passes).toHaveLength(3);
  });

  it('is read as it is where it cannot be written', () => {
    const before = answers((store.write('self', written), store.read));
    asFirstForm();
    const { file } = places();
    const bytes = fs.readFileSync(file);
    const database = openToRead(file);
    expect(answers(readLog(database!))).toEqual(before);
    database!.close();
    expect(fs.readFileSync(file)).toEqual(bytes);
  });
});

it('a damaged database is mended from a copy of the first form', async () => {
  store.write('self', [passEntry('a'), passEntry('b')]);
  store.database.exec(FIRST_FORM_AGAIN);
  await store.backUp(new Date('2031-04-05T12:00:00Z'));
  store.close();
  fs.writeFileSync(places().file, 'spoilt '.repeat(1000));
  open();
  expect(store.problems).toMatchObject([{ code: 'log-mended' }]);
  expect(ids()).toEqual(['a', 'b']);
});

it('a database of the first form whose passes point at nothing is mended', () => {
  store.write('self', [passEntry('a'), passEntry('b')]);
  store.database.exec('pragma foreign_keys = off');
  store.database.exec(`update passes set bars = 77, unit = 78 where id = 'b'; ${FIRST_FORM_AGAIN}`);
  store.close();
  open();
  expect(store.problems).toMatchObject([{ code: 'log-mended' }]);
  expect(ids()).toEqual(['a']);
});

/** Takes away what the second form brought. */
const FIRST_FORM_AGAIN = `
  drop trigger passes_insert; drop trigger passes_update; drop trigger passes_delete;
  drop trigger amendments_insert; drop trigger amendments_update; drop trigger amendments_delete;
  drop table played; drop table kept; drop index passes_of_pair;
  create index passes_of_bars on passes (bars, instant); pragma user_version = 1;`;

describe('copies', () => {
  it('are made when there is more to copy, and are whole logs', async () => {
    store.write('self', [passEntry('a')]);
    await store.backUp(new Date('2031-04-05T12:00:00Z'));
    await store.backUp(new Date('2031-04-06T12:00:00Z'));
    const [copy, ...others] = backupsIn(places().backups);
    expect(others).toEqual([]);
    const database = new DatabaseSync(copy!.file, { readOnly: true });
    expect(fullFlaw(database)).toBeUndefined();
    database.close();
    expect(fs.statSync(copy!.file).mode & 0o777).toBe(0o600);
  });

  it('are kept for seven days and four weeks, the fullest of each; the clock decides nothing', () => {
    const copy = (facts: number, day: string) => ({ file: `${facts}`, facts, day });
    const daily = Array.from({ length: 40 }, (_, i) =>
      copy(100 + i, new Date(Date.UTC(2031, 2, 1 + i)).toISOString().slice(0, 10)),
    ).reverse();
    const kept = [...worthKeeping(daily, (one) => one.day)].map(({ facts }) => facts);
    expect(kept.slice(0, 7)).toEqual([139, 138, 137, 136, 135, 134, 133]);
    expect(kept).toHaveLength(7 + 2);
    // A clock set to 1999 for a day: what holds most is still kept.
    const strange = [copy(140, '1999-01-01'), ...daily];
    expect([...worthKeeping(strange, (one) => one.day)].map(({ facts }) => facts)).toContain(140);
  });
});
