// Five simulated students with the partner beside the same students by the rules alone: what a miss costs them.
import type { BenchRow } from '../bench.ts';
import { type Outcome, sittings } from '../partner/five-students.ts';

const both = (() => {
  let known: { readonly ours: readonly Outcome[]; readonly rules: readonly Outcome[] } | undefined;
  return () => (known ??= { ours: sittings(true), rules: sittings(false) });
})();

const PEER = 'the rules alone';
const mean = (of: readonly number[]): number => of.reduce((a, b) => a + b, 0) / of.length;
const minutes = (value: number): string => (value === Infinity ? 'never' : value.toFixed(1));

/** Every student in words, the rules behind the stroke. */
const told = (say: (one: Outcome) => string): string => {
  const { ours, rules } = both();
  return ours.map((one, i) => `${one.student} ${say(one)} / ${say(rules[i]!)}`).join('; ');
};

const row = (
  name: string,
  what: string,
  unit: string,
  of: (all: readonly Outcome[]) => number,
  say: (one: Outcome) => string,
  goal: BenchRow['goal'],
): BenchRow => ({
  ...{ name: `partner-${name}`, what, unit },
  ...(goal && { goal }),
  measure: () => {
    const { ours, rules } = both();
    const peer = { name: PEER, value: of(rules) };
    return Promise.resolve({ value: of(ours), peer, note: told(say) });
  },
});

export const rows: BenchRow[] = [
  row(
    'first-success',
    'minutes to the first clean pass that nine sittings in ten of the worst-off student keep to',
    'min',
    (all) => Math.max(...all.map(({ firstOfMost }) => firstOfMost)),
    ({ first, firstOfMost }) => `middle ${minutes(first)}, nine in ten ${minutes(firstOfMost)}`,
    { at: '<=', value: 10 },
  ),
  {
    name: 'partner-first-success-later',
    what: 'seconds by which the first clean pass comes later than by the rules alone, mean of the sittings, of the student whom the partner gains least; saying where it broke takes 4 of them',
    unit: 's',
    goal: { at: '<=', value: 1 },
    measure: () => {
      const { ours, rules } = both();
      const later = ours.map((one, i) => 60 * (one.firstMean - rules[i]!.firstMean));
      const note = told(({ firstMean }) => `${firstMean.toFixed(2)} min`);
      return Promise.resolve({ value: Math.max(...later), note });
    },
  },
  row(
    'passes-per-success',
    'passes for one clean pass, mean of the five students',
    'passes',
    (all) => mean(all.map(({ passesPerSuccess }) => passesPerSuccess)),
    ({ passesPerSuccess }) => passesPerSuccess.toFixed(2),
    { at: '<=', value: 2 },
  ),
  row(
    'dead-ends',
    'times that a student missed six times running on one rung with nothing new to do, in 1,500 sittings',
    'times',
    (all) => all.reduce((sum, { deadEnds }) => sum + deadEnds, 0),
    ({ deadEnds }) => String(deadEnds),
    { at: '<=', value: 0 },
  ),
  row(
    'time-on-what-breaks',
    'share of the time of the student who slips at one change that is spent on that change',
    '%',
    (all) => 100 * all[0]!.onWeak,
    ({ onWeak }) => `${Math.round(100 * onWeak)} %`,
    { at: '>=', value: 15 },
  ),
];
