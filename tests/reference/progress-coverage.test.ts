// Does the 90 % interval hold the truth nine times in ten? Seeded simulations of players whose curve is known.
import { describe, expect, it } from 'vitest';
import { dateOfDay, dayNumber } from '../../app/core/log/days.ts';
import { ownedTempo, type OwnedTempo } from '../../app/core/progress/owned-tempo.ts';
import { dice, practise } from '../unit/progress/player.ts';

const FROM = '2031-01-06';

interface Setting {
  readonly days: number;
  readonly passesPerDay: number;
  /** Logits per octave: 6 is a player who falls off slowly, 30 one who hits a wall. */
  readonly steepness: number;
  readonly gainPerDay?: number;
  readonly lapses?: number;
}

/** 400 players with owned tempos of 60–140 bpm; each answer beside the truth on the last day. */
function simulate(setting: Setting): { answer: OwnedTempo; truth: number }[] {
  const roll = dice(20310106);
  return Array.from({ length: 400 }, () => {
    const start = 60 + 80 * roll();
    const owned = (day: number) => start * (1 + (setting.gainPerDay ?? 0)) ** day;
    const { steepness, lapses = 0, days, passesPerDay } = setting;
    const passes = practise({ owned, steepness, lapses }, { from: FROM, days, passesPerDay }, roll);
    // With lapses the whole curve is lowered, so 80 % is crossed earlier.
    const reached = 0.8 / (1 - lapses);
    const shift = (Math.log(4) - Math.log(reached / (1 - reached))) / steepness;
    return {
      answer: ownedTempo(passes, 'quarter', dateOfDay(dayNumber(FROM) + days - 1)),
      truth: owned(days - 1) * 2 ** shift,
    };
  });
}

describe('interval coverage by simulation', () => {
  it.each<[string, Setting]>([
    ['one day', { days: 1, passesPerDay: 25, steepness: 12 }],
    ['four days', { days: 4, passesPerDay: 20, steepness: 12 }],
    ['a steep curve', { days: 4, passesPerDay: 20, steepness: 30 }],
    ['a flat curve', { days: 4, passesPerDay: 20, steepness: 6 }],
    ['gaining ½ % a day', { days: 8, passesPerDay: 20, steepness: 12, gainPerDay: 0.005 }],
    ['gaining 1 % a day', { days: 8, passesPerDay: 20, steepness: 12, gainPerDay: 0.01 }],
    ['missing 3 % by inattention', { days: 4, passesPerDay: 20, steepness: 15, lapses: 0.03 }],
  ])('holds for %s', (_, setting) => {
    const answers = simulate(setting);
    const numbers = answers.filter(({ answer }) => answer.kind === 'number');
    const held = numbers.filter(
      ({ answer, truth }) =>
        answer.kind === 'number' && answer.low <= truth && truth <= answer.high,
    );
    expect(numbers.length).toBeGreaterThan(200);
    // 90 % meant; a discounted likelihood errs on the wide side, a moving truth on the other.
    expect(held.length / numbers.length).toBeGreaterThan(0.85);
    expect(held.length / numbers.length).toBeLessThan(0.99);

    const floors = answers.filter(({ answer }) => answer.kind === 'at-least');
    const right = floors.filter(
      ({ answer, truth }) => answer.kind === 'at-least' && answer.bpm <= truth,
    );
    expect(right.length).toBeGreaterThanOrEqual(0.9 * floors.length);
  });
});
