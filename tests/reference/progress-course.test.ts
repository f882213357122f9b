// The course over practice days: recovers a known exponential, its span holds the truth about four times in
// five, and level or growing players are rarely told the wrong thing. Seeded simulations.
import { describe, expect, it } from 'vitest';
import { dateOfDay, dayNumber } from '../../app/core/log/days.ts';
import { dayPoints, daysUntil, fitCourse, tempoAhead } from '../../app/core/progress/course.ts';
import { type Forecast, forecast } from '../../app/core/progress/forecast.ts';
import { ownedTempo } from '../../app/core/progress/owned-tempo.ts';
import { dice, practise } from '../unit/progress/player.ts';

const FROM = '2031-01-06';
const PLAYERS = 60;

describe('fitCourse', () => {
  it('recovers a noiseless exponential: 120 bpm ceiling, τ = 10 days', () => {
    const at = (t: number) => 2 ** (Math.log2(120) - 0.5 * Math.exp(-t / 10));
    const points = Array.from({ length: 20 }, (_, t) => ({
      date: dateOfDay(dayNumber(FROM) + t),
      bpm: at(t),
      spread: 0.005,
      untested: false,
    }));
    const course = fitCourse(points)!;
    expect(tempoAhead(course, 10).middle / at(29)).toBeCloseTo(1, 2);
    const until = daysUntil(course, at(29));
    expect(until.low).toBeLessThanOrEqual(10.5);
    expect(until.high).toBeGreaterThanOrEqual(9.5);
  });

  it('is not thrown by one bad day (Huber)', () => {
    const points = Array.from({ length: 12 }, (_, t) => ({
      date: dateOfDay(dayNumber(FROM) + t),
      bpm: t === 6 ? 45 : 80 + t,
      spread: 0.03,
      untested: false,
    }));
    expect(tempoAhead(fitCourse(points)!, 0).middle).toBeGreaterThan(86);
  });

  it('has nothing to say before five days', () => expect(fitCourse([])).toBeUndefined());

  it.each([
    [8, 10, 0.4],
    [14, 10, 0.4],
    [14, 30, 0.6],
    [14, 5, 0.3],
  ])('holds the truth four times in five: %d days, τ = %d, gap %d', (days, tau, gap) => {
    const roll = dice(20310106);
    const held = Array.from({ length: PLAYERS }, () => {
      const ceiling = 80 + 60 * roll();
      const owned = (day: number) =>
        2 ** (Math.log2(ceiling) - Math.log2(1 + gap) * Math.exp(-day / tau));
      const passes = practise(
        { owned, steepness: 12 },
        { from: FROM, days, passesPerDay: 20 },
        roll,
      );
      const course = fitCourse(dayPoints(passes, 'quarter'))!;
      const ahead = tempoAhead(course, 5);
      const until = daysUntil(course, owned(days + 7));
      return {
        ahead: ahead.low <= owned(days + 4) && owned(days + 4) <= ahead.high,
        until: until.low <= 8 && 8 <= until.high,
      };
    });
    for (const which of ['ahead', 'until'] as const) {
      expect(held.filter((one) => one[which]).length).toBeGreaterThanOrEqual(0.7 * PLAYERS);
    }
  });
});

describe('plateau and slip', () => {
  /** Counts of players told each thing; the day-to-day form varies by 2 %. */
  function told(gainPerDay: number, days: number): Record<Forecast['kind'], number> {
    const roll = dice(5);
    const counts = {
      reached: 0,
      'not-enough': 0,
      untested: 0,
      date: 0,
      far: 0,
      plateau: 0,
      slipping: 0,
    };
    for (let k = 0; k < PLAYERS; k++) {
      const start = 80 + 60 * roll();
      const form = Array.from({ length: days }, () => 0.04 * (roll() + roll() + roll() - 1.5));
      const owned = (day: number) => start * (1 + gainPerDay) ** day * 2 ** form[day]!;
      const passes = practise(
        { owned, steepness: 12 },
        { from: FROM, days, passesPerDay: 20 },
        roll,
      );
      const asOf = dateOfDay(dayNumber(FROM) + days - 1);
      const target = start * (1 + gainPerDay) ** days * 1.15;
      const now = ownedTempo(passes, 'quarter', asOf);
      counts[forecast({ passes, beat: 'quarter', target, asOf, owned: now }).kind]++;
    }
    return counts;
  }

  it('sees most plateaus after twenty level days and calls few of them slips', () => {
    const { plateau, slipping } = told(0, 20);
    expect(plateau).toBeGreaterThanOrEqual(0.6 * PLAYERS);
    expect(slipping).toBeLessThanOrEqual(0.1 * PLAYERS);
  });

  it('sees most slips of 2 % a day', () => {
    expect(told(-0.02, 10).slipping).toBeGreaterThanOrEqual(0.8 * PLAYERS);
  });

  it('rarely tells a player who gains 1 % a day that nothing moves', () => {
    const { plateau, slipping } = told(0.01, 16);
    expect(plateau + slipping).toBeLessThanOrEqual(0.1 * PLAYERS);
  });
});
