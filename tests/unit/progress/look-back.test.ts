// A unit's standing rests on its last passes alone: those that the reach leaves out change nothing.
import { expect, it } from 'vitest';
import { dateOfDay, dayNumber, localDate } from '../../../app/core/log/days.ts';
import type { PassRecord } from '../../../app/core/model/pass.ts';
import { isJudged } from '../../../app/core/progress/outcomes.ts';
import { LookBack } from '../../../app/core/progress/look-back.ts';
import { standingOf } from '../../../app/core/progress/standing.ts';
import { dice } from '../../bench/honest/players.ts';
import { samplePass } from '../services/samples.ts';

const FIRST = dayNumber('2030-01-01');

/** Some passes on most days, the first of them cold (seldom with every third player), at a tempo that rises; the seed says how often. */
function played(seed: number, days: number): PassRecord[] {
  const roll = dice(seed);
  const often = 0.3 + 0.7 * roll();
  const cold = seed % 3 === 0 ? 0.05 : 1;
  return Array.from({ length: days }, (_, day) => day).flatMap((day) => {
    if (roll() > often) return [];
    const count = 1 + Math.floor(6 * roll());
    return Array.from({ length: count }, (__, n) =>
      samplePass(`p${day}-${n}`, {
        at: `${dateOfDay(FIRST + day)}T18:${String(n).padStart(2, '0')}:00.000+02:00`,
        rung: { bpm: 60 + day / 10 + 20 * roll(), beat: 'quarter', index: 0, of: 5, target: 120 },
        verdict: roll() < 0.7 ? 'clean' : roll() < 0.8 ? 'missed' : 'unjudged',
        cold: n === 0 && roll() < cold,
        duration: 40 * roll(),
        ...(roll() < 0.05 ? { underrun: true } : {}),
      }),
    );
  });
}

/** Read so many at a time; before those, only the days with a cold one that lack. */
function within(passes: readonly PassRecord[], asOf: string, stretch: number) {
  const reach = new LookBack(asOf);
  for (let end = passes.length; end > 0; end -= stretch) {
    for (let i = end - 1; i >= Math.max(0, end - stretch); i--)
      if (reach.isBeyond(passes[i]!)) return passes.slice(i + 1);
    const from = Math.max(0, end - stretch);
    const lacking = reach.coldDaysLacking;
    if (lacking === undefined) continue;
    const cold = passes.filter((pass, i) => i < from && pass.cold && isJudged(pass));
    const days = [...new Set(cold.map(({ at }) => localDate(at)))].slice(-lacking);
    const open = passes[from] && localDate(passes[from].at);
    return passes.filter(({ at }, i) => i >= from || [open, ...days].includes(localDate(at)));
  }
  return passes;
}

it.each(Array.from({ length: 12 }, (_, i) => i + 1))('of random player %i', (seed) => {
  const passes = played(seed, 150 + 40 * seed);
  const end = FIRST + 150 + 40 * seed;
  let leftOut = 0;
  for (const back of [0, 1, 9, 33, 90]) {
    const asked = { beat: 'quarter' as const, target: 95, asOf: dateOfDay(end - back) };
    const due = dateOfDay(end + 20);
    const last = within(passes, asked.asOf, 7 * seed);
    leftOut += passes.length - last.length;
    expect(standingOf({ ...asked, due, passes: last })).toEqual(
      standingOf({ ...asked, due, passes }),
    );
  }
  expect(leftOut).toBeGreaterThan(0);
});
