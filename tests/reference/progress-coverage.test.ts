// Do bands hold as often as they say? Seeded simulations of players whose level is known; the bench has the whole table.
import { describe, expect, it } from 'vitest';
import { FORECAST_ROWS, ours, runForecastRow } from '../bench/honest/forecast.ts';
import { type Forecast } from '../../app/core/progress/forecast.ts';
import { ownedTempo } from '../../app/core/progress/owned-tempo.ts';
import { forecast } from '../support/forecast.ts';
import { OWNED_ROWS, runOwnedRow, wilson } from '../bench/honest/owned.ts';
import { between, DAILY, dateOn, dice, plainPlayer, practise } from '../bench/honest/players.ts';

const SEED = 20310106;

describe('the band of an owned tempo', () => {
  const PLAYERS = 60;
  // Every third row, and those in which a limit is said alone or the question comes late.
  const some = OWNED_ROWS.filter(
    ({ name }, i) => i % 3 === 1 || /asked after|well below|too fast/.test(name),
  );
  const results = some.map((row) => runOwnedRow(row, PLAYERS, SEED));

  it('holds nine times in ten over all rows, by shown bands', () => {
    const held = results.reduce((sum, r) => sum + r.held, 0);
    const shown = results.reduce((sum, r) => sum + r.shown, 0);
    const usual = some.filter(({ name }) => !/well below|too fast/.test(name));
    expect(shown).toBeGreaterThan(0.7 * PLAYERS * usual.length);
    expect(held / shown).toBeGreaterThan(0.87);
    expect(held / shown).toBeLessThan(0.94);
  });

  it.each(results.filter(({ shown }) => shown > 0))('is not far from that for $row', (r) => {
    const { held, shown } = r;
    // 60 players tell 0.85–0.95 apart only roughly: the interval of the share must meet it.
    const [low, high] = wilson(held, shown);
    expect(high).toBeGreaterThan(0.85);
    expect(low).toBeLessThan(0.95);
  });

  it('has a middle that errs no more than a three-day fit', () => {
    for (const { error, peerError, both } of results)
      if (both > 0) expect(error).toBeLessThan(peerError * 1.1);
  });

  it('says “at least” and “below” truly nineteen times in twenty', () => {
    for (const { sided, sidedTrue } of results) {
      expect(wilson(sidedTrue, sided)[1]).toBeGreaterThanOrEqual(0.95);
    }
    const said = results.reduce((sum, r) => sum + r.sided, 0);
    const right = results.reduce((sum, r) => sum + r.sidedTrue, 0);
    expect(right).toBeGreaterThanOrEqual(0.95 * said);
  });

  it('widens over days on which nothing was played', () => {
    const passes = practise(
      { ...plainPlayer(() => 100), form: 0.02 },
      { days: 10, passesPerDay: 20 },
      dice(3),
    );
    const width = (days: number): number => {
      const owned = ownedTempo(passes, 'quarter', dateOn(DAILY, 9 + days));
      return owned.kind === 'number' ? owned.high / owned.low : Infinity;
    };
    expect(width(1)).toBe(width(0));
    expect(width(8)).toBeGreaterThan(width(1));
    expect(width(30)).toBeGreaterThan(width(8));
  });
});

describe('the two dates of a forecast', () => {
  const PLAYERS = 80;
  const results = FORECAST_ROWS.map((row) => runForecastRow(row, PLAYERS, SEED, { ours })['ours']!);
  const reachable = results.filter(({ row }) => !row.startsWith('never'));

  it('hold four times in five, counted on bands with two ends', () => {
    const held = reachable.reduce((sum, r) => sum + r.held, 0);
    const finite = reachable.reduce((sum, r) => sum + r.finite, 0);
    // How often nothing could be said is part of the answer: rarely saying is allowed, never saying is not.
    expect(finite).toBeGreaterThan(40);
    expect(held / finite).toBeGreaterThan(0.75);
    expect(held / finite).toBeLessThan(0.93);
  });

  it.each(reachable)('are not far from that: $row', ({ held, finite }) => {
    const [low, high] = wilson(held, finite);
    expect(high).toBeGreaterThan(0.75);
    expect(low).toBeLessThan(0.9);
  });

  it('are hardly ever named for a target above the ceiling', () => {
    const never = results.find(({ row }) => row.startsWith('never'))!;
    expect(never.dated).toBeLessThan(0.05 * never.asked);
  });
});

describe('plateau and slip', () => {
  const PLAYERS = 60;
  /** Share of players told this, with a day-to-day form of 2 %. */
  function told(gain: number, days: number, kind: Forecast['kind']): number {
    const roll = dice(5);
    const answers = Array.from({ length: PLAYERS }, () => {
      const start = between(roll, 80, 140);
      const player = { ...plainPlayer((day) => start * (1 + gain) ** day), form: 0.02 };
      const passes = practise(player, { days, passesPerDay: 20 }, roll);
      const target = start * (1 + gain) ** days * 1.3;
      return forecast({ passes, beat: 'quarter', target, asOf: dateOn(DAILY, days - 1) });
    });
    return answers.filter((answer) => answer.kind === kind).length / PLAYERS;
  }

  it('sees most plateaus after twenty level days and calls few of them slips', () => {
    expect(told(0, 20, 'plateau')).toBeGreaterThanOrEqual(0.6);
    expect(told(0, 20, 'slipping')).toBeLessThanOrEqual(0.1);
  });

  it('sees most slips of 2 % a day', () => {
    expect(told(-0.02, 10, 'slipping')).toBeGreaterThanOrEqual(0.75);
  });

  it('rarely tells a player who gains 1 % a day that nothing moves', () => {
    expect(told(0.01, 16, 'plateau') + told(0.01, 16, 'slipping')).toBeLessThanOrEqual(0.1);
  });
});
