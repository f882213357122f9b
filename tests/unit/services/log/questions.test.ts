// What the rooms ask of the log is what the whole of it says: random logs of several players' machines, amended,
// with a teacher's word, on bars under other names, asked in every way; on disk and while passes wait for the disk.
import fs from 'node:fs';
import fc from 'fast-check';
import { afterAll, expect, it } from 'vitest';
import { dateOfDay, dayNumber, localDate } from '../../../../app/core/log/days.ts';
import { unpackCourse } from '../../../../app/core/log/course.ts';
import { sittingsOf } from '../../../../app/core/log/sittings.ts';
import { tally } from '../../../../app/core/log/tally.ts';
import type { ChangeHeard, LogEntry, PassRecord } from '../../../../app/core/model/pass.ts';
import { VERDICT_SOURCES } from '../../../../app/core/model/pass.ts';
import { breakingChanges } from '../../../../app/core/progress/changes.ts';
import { standingOf } from '../../../../app/core/progress/standing.ts';
import type {
  CallInput,
  CallName,
  CallOutput,
} from '../../../../app/services/contract/contract.ts';
import { dice } from '../../../bench/honest/players.ts';
import { runs } from '../../../support/runs.ts';
import { settle } from '../../../support/settle.ts';
import { openTestServices, passEntry, temporaryDirectory } from '../samples.ts';

const roots: string[] = [];
afterAll(() => roots.forEach((root) => fs.rmSync(root, { recursive: true, force: true })));

const FIRST = dayNumber('2031-01-01');
const CHARTS = ['k-1', 'k-2'];
/** Under each key bars that changed once; the last two are one music under two names. */
const UNITS = [
  { key: 'section:Verse', prints: ['f-verse', 'f-verse-2'] },
  { key: 'bars:Verse:1-2', prints: ['f-two', 'f-two'] },
  { key: 'section:Bridge', prints: ['f-two', 'f-bridge'] },
];

/** A log of so many days, by the seed: two machines in two time zones, and words on what was played. */
function randomLog(seed: number, days: number, perDay: number): LogEntry[] {
  const roll = dice(seed);
  const one = <T>(list: readonly T[]): T => list[Math.floor(roll() * list.length)]!;
  const entries: LogEntry[] = [];
  for (let day = 0; day < days; day++) {
    if (roll() < 0.3) continue;
    const date = dateOfDay(FIRST + day);
    const zone = one(['+02:00', '+02:00', '-05:00']);
    const count = Math.ceil(roll() * perDay);
    for (let n = 0; n < count; n++) {
      const unit = one(UNITS);
      const chart = one(CHARTS);
      const id = `p${day}-${n}`;
      const at = `${date}T${one(['09', '18', '23'])}:${String(n).padStart(2, '0')}:00.000${zone}`;
      const bpm = 60 + Math.floor(day / 4) + Math.floor(roll() * 16);
      const heard = roll() < 0.3;
      entries.push(
        passEntry(id, {
          at,
          session: `s${day}-${Math.floor(n / 4)}`,
          climb: `c${day}-${Math.floor(n / 2)}`,
          chart: { id: chart, title: day > days / 2 ? `${chart}, new` : chart },
          unit: {
            key: unit.key,
            name: unit.key,
            fingerprint: unit.prints[day > days / 2 ? 1 : 0]!,
          },
          rung: {
            bpm,
            beat: one(['quarter', 'quarter', 'half']),
            index: n % 5,
            of: 5,
            target: 120,
          },
          verdict: one(['clean', 'clean', 'missed', 'unjudged']),
          source: one(['self', 'ear', 'pedal']),
          cold: n === 0,
          duration: 10 + Math.floor(roll() * 30),
          ...(roll() < 0.1 ? { underrun: true } : {}),
          ...(heard ? { changes: [change(roll() < 0.4)] } : {}),
        }),
      );
      if (roll() < 0.05) entries.push(one(entries));
      const said = `${dateOfDay(FIRST + day + 1)}T10:00:00.000Z`;
      if (roll() < 0.15)
        entries.push({
          kind: 'amendment',
          amendment: {
            ...{ amends: id, at: said, verdict: one(['clean', 'missed', 'unjudged']) },
            ...{ source: one(['self', 'pedal'] as const), turn: 1 + Math.floor(roll() * 3) },
          },
        });
      if (roll() < 0.1)
        entries.push({
          kind: 'amendment',
          amendment: {
            ...{ amends: id, at: said, source: 'teacher', by: 'Ms Tern' },
            verdict: one(['clean', 'missed', 'as-before'] as const),
          },
        });
    }
  }
  return entries;
}

const change = (late: boolean): ChangeHeard => ({
  ...{ bar: 0, change: 0, from: 'G', to: 'D', confidence: 1 },
  chord: 'right',
  timing: late ? 'late' : 'on-time',
});

type Ask = <N extends CallName>(name: N, input: CallInput<N>) => Promise<CallOutput<N>>;

/** Every question, against the same made of all passes at once. */
async function compare(ask: Ask, all: readonly PassRecord[]): Promise<void> {
  const moved = await ask('log.lastTime', {});
  expect({ ...moved, gains: inOrder(moved!.gains) }).toEqual({
    ...lastTimeOf(all),
    gains: inOrder(lastTimeOf(all).gains),
  });
  const last = all.at(-1);
  const middle = last && dateOfDay(dayNumber(localDate(last.at)) - 20);
  for (const since of [undefined, middle]) {
    for (const judge of [undefined, ...VERDICT_SOURCES]) {
      const narrowed = { ...(since ? { since } : {}), ...(judge ? { judge } : {}) };
      const fitting = all.filter(
        (pass) =>
          (!since || localDate(pass.at) >= since) &&
          (!judge || (pass.verdict !== 'unjudged' && pass.source === judge)),
      );
      expect(near(await ask('log.units', narrowed))).toEqual(near(unitsOf(fitting)));
      expect(near(await ask('log.days', narrowed))).toEqual(near(daysOf(fitting)));
      if (judge === undefined) {
        for (const chart of CHARTS) {
          const counts = await ask('log.counts', { chart, ...(since ? { since } : {}) });
          expect(inOrder(counts)).toEqual(inOrder(countsOf(fitting, chart)));
        }
      }
      for (const those of byUnit(fitting).values()) {
        const { chart, unit } = those[0]!;
        const asked = { ...narrowed, chart: chart.id, unit: unit.key };
        expect((await ask('log.passes', asked)).passes).toEqual(those);
        expect((await ask('log.passes', { ...asked, latest: 3 })).passes).toEqual(those.slice(-3));
        expect(unpackCourse(await ask('log.course', asked))).toEqual(those.map(brief));
        expect(await ask('log.changes', asked)).toEqual(breakingChanges(those));
        const sessions = sittingsOf(those);
        expect(await ask('log.sittings', asked)).toEqual(sessions);
        const days = [...new Set(sessions.map(({ date }) => date))].sort().slice(-2);
        expect(await ask('log.sittings', { ...asked, days: 2 })).toEqual(
          sessions.filter(({ date }) => days.includes(date)),
        );
      }
    }
  }
  for (const those of Map.groupBy(all, (p) => `${p.chart.id}\n${p.unit.fingerprint}`).values()) {
    const { chart, unit } = those[0]!;
    const bars = { chart: chart.id, bars: unit.fingerprint };
    expect(await ask('log.bests', bars)).toEqual(bestsOf(those));
    const [worst] = breakingChanges(those.slice(-4));
    const broke = worst && worst.broke > 0 ? worst : null;
    expect(await ask('log.worst', { of: [bars], latest: 4 })).toEqual([broke]);
    for (const back of [0, 3, 30]) {
      const asOf = dateOfDay(dayNumber(localDate(all.at(-1)!.at)) - back);
      const due = dateOfDay(FIRST + 120);
      const asked = { beat: 'quarter' as const, target: 100, asOf, due };
      const of = [{ ...bars, ...asked }];
      expect(await ask('log.standings', { of })).toEqual([standingOf({ ...asked, passes: those })]);
    }
  }
}

/** What moved on the last day, from the passes of each unit alone. */
function lastTimeOf(all: readonly PassRecord[]) {
  const days = [...new Set(all.map(({ at }) => localDate(at)))].sort();
  const date = days.at(-1);
  const ofDay = all.filter(({ at }) => localDate(at) === date);
  const judged = ofDay.filter(({ verdict }) => verdict !== 'unjudged');
  const gains = [...byUnit(all).values()].flatMap((those) => {
    const bests = bestsOf(those);
    const last = those.findLast(({ at }) => localDate(at) === date);
    const [before, now] = bests.slice(-2);
    if (!last || !now || now.date !== date || now.quarters <= before!.quarters) return [];
    const { chart, unit, rung } = last;
    const share = rung.beat === 'half' ? 0.5 : 1;
    const [from, to] = [before!.quarters * share, now.quarters * share];
    return [{ chart: chart.title, unit: unit.name, beat: rung.beat, from, to }];
  });
  const clean = judged.filter(({ verdict }) => verdict === 'clean').length;
  return { date, judged: judged.length, clean, first: days.length === 1, gains };
}

const quartersOf = ({ rung }: PassRecord): number => rung.bpm * (rung.beat === 'half' ? 2 : 1);

const bestsOf = (passes: readonly PassRecord[]) =>
  [...Map.groupBy(passes, ({ at }) => localDate(at))]
    .flatMap(([date, those]) => {
      const clean = those.filter(({ verdict }) => verdict === 'clean').map(quartersOf);
      return clean.length > 0 ? [{ date, quarters: Math.max(...clean) }] : [];
    })
    .sort((a, b) => (a.date < b.date ? -1 : 1));

const countsOf = (passes: readonly PassRecord[], chart: string) =>
  [...Map.groupBy(passes, ({ unit }) => unit.fingerprint)].flatMap(([bars, all]) => {
    const { clean, missed } = tally(all.filter((pass) => pass.chart.id === chart));
    return all.some((pass) => pass.chart.id === chart) ? [{ bars, clean, missed }] : [];
  });

const inOrder = (rows: readonly object[]) => rows.map((row) => JSON.stringify(sorted(row))).sort();

const byUnit = (passes: readonly PassRecord[]) =>
  Map.groupBy(passes, ({ chart, unit }) => `${chart.id}\n${unit.key}`);

const brief = ({ at, verdict, source, cold, duration, unit, rung, underrun }: PassRecord) => ({
  ...{ at, verdict, source, cold, duration, unit: { fingerprint: unit.fingerprint } },
  rung: { bpm: rung.bpm, beat: rung.beat, index: rung.index },
  ...(underrun ? { underrun } : {}),
});

/** Counted here anew, from the passes alone. */
const unitsOf = (passes: readonly PassRecord[]) =>
  [...byUnit(passes).values()].map((those) => {
    const { chart, unit, rung, at } = those.at(-1)!;
    const dates = [...new Set(those.map((pass) => localDate(pass.at)))].sort();
    const clean = those.filter(({ verdict }) => verdict === 'clean');
    const quarters = clean.map(quartersOf);
    return {
      ...tally(those),
      ...{ chart, unit, beat: rung.beat, target: rung.target, lastPlayed: at },
      ...{ days: dates.length, since: dates[0] },
      ...(clean.length > 0 ? { fastestQuarters: Math.max(...quarters) } : {}),
    };
  });

const daysOf = (passes: readonly PassRecord[]) =>
  [...Map.groupBy(passes, ({ at }) => localDate(at))].map(([date, those]) => ({
    date,
    ...tally(those),
    ...fastestOf(those),
  }));

const fastestOf = (passes: readonly PassRecord[]) => {
  const [best] = bestsOf(passes);
  return best ? { fastestQuarters: best.quarters } : {};
};

/** Minutes are added up in another order, and rows of one moment stand in any. */
const near = (rows: readonly { readonly minutes: number }[]) =>
  rows.map((row) => JSON.stringify(sorted({ ...row, minutes: row.minutes.toFixed(6) }))).sort();
const sorted = (row: object) =>
  Object.fromEntries(Object.entries(row).sort(([a], [b]) => (a < b ? -1 : 1)));

it('answers every question as the whole log does, also while passes wait for the disk (law)', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.integer({ min: 1, max: 1e6 }),
      fc.constantFrom([6, 5], [40, 4], [110, 3]),
      fc.double({ min: 0, max: 1, noNaN: true }),
      async (seed, [days, perDay], share) => {
        const root = temporaryDirectory();
        roots.push(root, `${root}-away`, `${root}-waiting`);
        const host = openTestServices(root);
        const ask: Ask = async (name, input) => {
          const answer = await host.handle(name, input);
          if (!answer.ok) throw new Error(answer.problems[0]?.message);
          return answer.value as never;
        };
        const entries = randomLog(seed, days!, perDay!);
        const cut = Math.floor(share * entries.length);
        if (cut > 0) await ask('log.append', { entries: entries.slice(0, cut) as never });
        const written = settle(entries.slice(0, cut));
        if (written.length > 0) await compare(ask, written);
        fs.renameSync(root, `${root}-away`);
        const rest = entries.slice(cut);
        if (rest.length > 0) {
          expect(await ask('log.append', { entries: rest as never })).toMatchObject({ stored: 0 });
        }
        if (entries.length > 0) await compare(ask, settle(entries));
        host.close();
      },
    ),
    { numRuns: runs(5, 200) },
  );
});
