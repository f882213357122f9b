// What could be practised today is what the whole log says: random logs of a real chart, on bars that changed, with things
// set by the player and by a teacher; on disk and while passes wait for the disk.
import fs from 'node:fs';
import fc from 'fast-check';
import { afterAll, expect, it } from 'vitest';
import { dateOfDay, dayNumber, localDate } from '../../../../app/core/log/days.ts';
import type { LogEntry, PassRecord } from '../../../../app/core/model/pass.ts';
import { partBySet } from '../../../../app/core/progress/as-set.ts';
import { assign, OWN_DESK, type Student } from '../../../../app/core/progress/assignment.ts';
import { breakingChanges } from '../../../../app/core/progress/changes.ts';
import { questionOf } from '../../../../app/core/progress/placing.ts';
import { standingOf } from '../../../../app/core/progress/standing.ts';
import { listUnits } from '../../../../app/core/units/resolve.ts';
import type { CallName } from '../../../../app/services/contract/contract.ts';
import type { AskLog } from '../../../../renderer/state/log/practice-log.svelte.ts';
import { candidatesOf } from '../../../../renderer/state/today/candidates.ts';
import { dice } from '../../../bench/honest/players.ts';
import { demoNamed } from '../../../support/demo.ts';
import { runs } from '../../../support/runs.ts';
import { settle } from '../../../support/settle.ts';
import { openTestServices, passEntry, temporaryDirectory } from '../../services/samples.ts';

const roots: string[] = [];
afterAll(() => roots.forEach((root) => fs.rmSync(root, { recursive: true, force: true })));

const chart = demoNamed('low-tide-lanterns');
const units = listUnits(chart).slice(0, 7);
const TODAY = '2031-04-05';
const OLD = 'as-it-was';

/** Of so many days up to today: units of the chart, some of them once on other bars or under a name that is gone. */
function randomLog(seed: number, days: number): LogEntry[] {
  const roll = dice(seed);
  const one = <T>(list: readonly T[]): T => list[Math.floor(roll() * list.length)]!;
  const entries: LogEntry[] = [];
  for (let back = days; back >= 0; back--) {
    const date = dateOfDay(dayNumber(TODAY) - back);
    const count = Math.floor(roll() * 7);
    for (let n = 0; n < count; n++) {
      const { key, name, fingerprint } = one(units.slice(0, back > 20 ? 7 : 4));
      const id = `${date}-${n}`;
      entries.push(
        passEntry(id, {
          ...{ at: `${date}T18:0${n}:00.000+02:00`, session: date, climb: date },
          chart: { id: chart.id, title: chart.title },
          unit: {
            key: roll() < 0.1 ? 'section:Gone' : key,
            name,
            fingerprint: back > 30 && roll() < 0.5 ? OLD : fingerprint,
          },
          rung: { bpm: 60 + Math.floor(roll() * 30), beat: 'quarter', index: 0, of: 5, target: 90 },
          verdict: one(['clean', 'clean', 'missed', 'unjudged'] as const),
          ...{ source: 'self', cold: n === 0, duration: 10 + Math.floor(roll() * 20) },
          ...(roll() < 0.3
            ? { broke: { bar: 0, change: 0, from: 'G', to: one(['C', 'D']), by: 'self' as const } }
            : {}),
        }),
      );
      if (roll() < 0.1)
        entries.push({
          kind: 'amendment',
          amendment: { amends: id, at: `${date}T20:00:00.000Z`, verdict: 'clean', source: 'self' },
        });
    }
  }
  return entries;
}

/** One thing the player set, two of a teacher: one on the bars as they are, one on those that were. */
function ownDesk(seed: number): Student {
  const at = '2031-03-01T10:00:00Z';
  const [mine, theirs, changed] = [0, 1, 2].map((i) => {
    const giving = { at, by: i === 0 ? '' : 'Ms Tern', newId: () => `a-${i}`, due: '2031-05-01' };
    return assign(chart, [units[(seed + i) % units.length]!], giving)[0]!;
  });
  const bars = { fingerprint: OLD, since: at };
  const assignments = [mine!, theirs!, { ...changed!, bars }];
  return { id: OWN_DESK, name: '', since: at, assignments, comments: [] };
}

async function compare(ask: AskLog, own: Student, all: readonly PassRecord[]): Promise<void> {
  const asked = { charts: [chart], units: await ask('log.units', {}), ask, asOf: TODAY };
  const { found, others, standings } = await candidatesOf(own, asked);
  const of = (key: string) => all.filter(({ unit }) => unit.key === key);
  const onBars = (bars: string) => all.filter(({ unit }) => unit.fingerprint === bars);
  const set = own.assignments.map(({ unit }) => unit.key);
  const since = dateOfDay(dayNumber(TODAY) - 60);
  const lately = units.filter(({ key }) => {
    const last = of(key).at(-1);
    return last !== undefined && localDate(last.at) >= since && last.unit.fingerprint !== OLD;
  });
  const keys = found.map(({ unit }) => unit.key);
  expect(new Set(keys).size).toBe(keys.length);
  expect(keys).toEqual(expect.arrayContaining([...set, ...lately.map(({ key }) => key)]));
  for (const { unit, standing, breaks, changed, assignment } of found) {
    const { fingerprint, names } = units.find(({ key }) => key === unit.key)!;
    expect(names).toBeUndefined();
    const { beat, target } = standing;
    const question = assignment ? questionOf(assignment, TODAY) : { beat, target, asOf: TODAY };
    const ofBars = standingOf({ ...question, passes: onBars(fingerprint) });
    const byTeacher = assignment !== undefined && assignment.by !== '';
    const expected = byTeacher
      ? standingOf({ ...question, passes: partBySet(assignment, all).counted })
      : ofBars;
    expect(standing).toEqual(expected);
    const [worst] = breakingChanges(onBars(fingerprint).slice(-60));
    const broke = worst && worst.broke > 0 ? worst : undefined;
    expect(breaks).toEqual(broke && { from: broke.from, to: broke.to, times: broke.broke });
    const ever = of(assignment?.unit.key ?? unit.key).length > 0;
    const isOther = assignment !== undefined && others.has(assignment.id);
    expect(changed === true).toBe(ofBars.lastPractised === undefined && ever && !isOther);
    if (!assignment) continue;
    expect(standings.get(assignment.id)).toEqual(expected);
    const { other } = partBySet(assignment, all);
    const passes = other.reduce((sum, bars) => sum + bars.passes, 0);
    expect(others.get(assignment.id)?.passes ?? 0).toBe(byTeacher ? passes : 0);
  }
}

it('says of every unit what its passes say, also while passes wait for the disk (law)', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.integer({ min: 1, max: 1e6 }),
      fc.constantFrom(3, 25, 90),
      fc.double({ min: 0, max: 1, noNaN: true }),
      async (seed, days, share) => {
        const root = temporaryDirectory();
        roots.push(root, `${root}-away`, `${root}-waiting`);
        const host = openTestServices(root);
        const call = async (name: CallName, input: unknown) => {
          const answer = await host.handle(name, input);
          if (!answer.ok) throw new Error(answer.problems[0]?.message);
          return answer.value as never;
        };
        const entries = randomLog(seed, days);
        const cut = Math.floor(share * entries.length);
        if (cut > 0) await call('log.append', { entries: entries.slice(0, cut) });
        await compare(call, ownDesk(seed), settle(entries.slice(0, cut)));
        fs.renameSync(root, `${root}-away`);
        if (cut < entries.length) await call('log.append', { entries: entries.slice(cut) });
        await compare(call, ownDesk(seed), settle(entries));
        host.close();
      },
    ),
    { numRuns: runs(8, 200) },
  );
});
