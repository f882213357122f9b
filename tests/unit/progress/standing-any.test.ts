// Whatever was played, a standing can be told, and every figure in it is one.
import { expect, it } from 'vitest';
import { dateOfDay, dayNumber } from '../../../app/core/log/days.ts';
import { standingOf } from '../../../app/core/progress/standing.ts';
import {
  anyHabit,
  between,
  DAILY,
  dice,
  every,
  exponential,
  FIRST_DATE,
  pick,
  practise,
  type Roll,
  steady,
  withBreak,
} from '../../bench/honest/players.ts';

/** Far beyond what people do: they jump, crash, stay away for years, or are wrong nine times in ten. */
function anyQuestion(roll: Roll) {
  const days = 1 + Math.floor(roll() * 45);
  const level =
    roll() < 0.7
      ? steady(between(roll, 25, 300), pick(roll, [0, 0.01, 0.03, 0.08, 0.2, -0.03]))
      : exponential(between(roll, 30, 200), between(roll, 0, 2), between(roll, 2, 40));
  const player = {
    ...{ level, habit: anyHabit(roll) },
    steepness: pick(roll, [1, 4, 12, 60, 400]),
    lapses: pick(roll, [0, 0.02, 0.3, 0.9]),
    form: pick(roll, [0, 0.05, 0.2]),
    tiredness: pick(roll, [0, 0.1]),
  };
  const calendar = pick(roll, [DAILY, every(3), every(60), withBreak(Math.floor(days / 2), 400)]);
  const passesPerDay = 1 + Math.floor(roll() * 12);
  const last = dayNumber(FIRST_DATE) + calendar.dayOf(days - 1);
  return {
    passes: practise(player, { days, passesPerDay, calendar }, roll),
    beat: pick(roll, ['quarter', 'half', 'dotted-quarter'] as const),
    target: between(roll, 20, 400),
    asOf: dateOfDay(last + pick(roll, [-5, 0, 1, 30, 3000])),
    due: dateOfDay(last + pick(roll, [-10, 0, 1, 90, 4000])),
  };
}

it('tells a standing in finite numbers of any player', () => {
  const roll = dice(7);
  for (let n = 0; n < 120; n++) {
    const flaws: string[] = [];
    JSON.stringify(standingOf(anyQuestion(roll)), (name, value: unknown) => {
      if (typeof value === 'number' && !Number.isFinite(value)) flaws.push(name);
      return value;
    });
    expect(flaws, `player ${n}`).toEqual([]);
  }
});
