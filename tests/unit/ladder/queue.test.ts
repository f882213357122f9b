// A sitting as a queue of climbs: order, turns, breaks in between, and stopping when it hurts.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  afterBreak,
  breakDue,
  declined,
  FRESH_CLOCK,
  playedFor,
  playingFrom,
} from '../../../app/core/ladder/break-clock.ts';
import type { StopReason } from '../../../app/core/ladder/model.ts';
import {
  newQueue,
  type QueueEffect,
  type QueueRules,
  type QueueState,
  stepQueue,
} from '../../../app/core/ladder/queue.ts';

const one: QueueRules = { rotate: false, turnMinutes: 5, breakEvery: 25 };
const turns: QueueRules = { ...one, rotate: true };

/** A sitting that is lived through climb by climb. */
class Sitting {
  state: QueueState;
  readonly effects: QueueEffect[] = [];
  now = 0;

  constructor(minutes: Record<string, number>, rules: QueueRules = one) {
    const items = Object.entries(minutes).map(([id, m]) => ({ id, minutes: m }));
    this.state = newQueue(items, rules);
  }

  send(event: Parameters<typeof stepQueue>[1]): this {
    const { state, effects } = stepQueue(this.state, event);
    this.state = state;
    this.effects.push(...effects);
    return this;
  }

  goOn = () => this.send({ kind: 'go-on', now: this.now });

  /** Plays what was asked for, for `minutes`, and ends for `reason`. */
  climb(minutes: number, reason: StopReason = 'limit', reached = 80): this {
    this.goOn();
    this.now += minutes * 60;
    return this.send({
      kind: 'climb-ended',
      reason,
      played: minutes * 60,
      reached,
      now: this.now,
    });
  }

  get climbs(): string[] {
    return this.effects.flatMap((e) => (e.kind === 'climb' ? [`${e.id} ${e.minutes}`] : []));
  }

  get offers(): number {
    return this.effects.filter((e) => e.kind === 'offer-break').length;
  }
}

describe('one after another', () => {
  it('gives each climb its minutes, in order, and ends', () => {
    const sitting = new Sitting({ verse: 6, bridge: 4 }).climb(6).climb(4);
    expect(sitting.climbs).toEqual(['verse 6', 'bridge 4']);
    expect(sitting.state.ended).toBe('done');
  });

  it('goes on to the next when a climb is stopped early or reaches its top', () => {
    const sitting = new Sitting({ a: 10, b: 10, c: 10 }).climb(2, 'player').climb(3, 'top').goOn();
    expect(sitting.climbs).toEqual(['a 10', 'b 10', 'c 10']);
  });

  it('leaves out what is skipped', () => {
    const sitting = new Sitting({ a: 5, b: 5 }).send({ kind: 'skip' }).goOn();
    expect(sitting.climbs).toEqual(['b 5']);
  });
});

describe('in turns', () => {
  it('takes turns until the minutes of each are used up, from the tempo reached', () => {
    const sitting = new Sitting({ a: 8, b: 10 }, turns);
    for (const minutes of [5, 5, 3, 5]) sitting.climb(minutes);
    expect(sitting.climbs).toEqual(['a 5', 'b 5', 'a 3', 'b 5']);
    expect(sitting.effects.filter((e) => e.kind === 'climb').map((e) => e.from)).toEqual([
      null,
      null,
      80,
      80,
    ]);
    expect(sitting.state.ended).toBe('done');
  });

  it('gives the last one left all its minutes at once', () => {
    const sitting = new Sitting({ a: 5, b: 15 }, turns).climb(5).climb(5).goOn();
    expect(sitting.climbs).toEqual(['a 5', 'b 15', 'b 10']);
  });

  it('is done with a climb that reached its top', () => {
    const sitting = new Sitting({ a: 10, b: 10 }, turns).climb(4, 'top').climb(5).goOn();
    expect(sitting.climbs).toEqual(['a 5', 'b 10', 'b 5']);
  });
});

describe('breaks', () => {
  it('are offered early first, then every 25 minutes, and only between climbs', () => {
    const sitting = new Sitting({ a: 12, b: 12, c: 12, d: 12 });
    sitting.climb(12);
    expect([sitting.offers, sitting.state.breakOffered]).toEqual([1, true]);
    sitting.send({ kind: 'take-break' });
    sitting.now += 300;
    sitting.climb(12).climb(12);
    expect(sitting.offers).toBe(1);
    sitting.climb(12);
    expect(sitting.state.ended).toBe('done');
  });

  it('are not asked for inside a climb', () => {
    const sitting = new Sitting({ a: 60, b: 5 }).goOn();
    expect(sitting.send({ kind: 'take-break' }).state.phase).toBe('climbing');
    expect(sitting.offers).toBe(0);
  });

  it('are offered again ten minutes after a refusal', () => {
    const sitting = new Sitting({ a: 10, b: 5, c: 5, d: 5 }).climb(10).climb(5);
    expect(sitting.offers).toBe(1);
    sitting.climb(5);
    expect(sitting.offers).toBe(2);
  });

  it('count a long pause as one, and follow the player’s own setting', () => {
    const played = playedFor(FRESH_CLOCK, 9 * 60, 540);
    expect(breakDue(played, 25)).toBe(false);
    expect(breakDue(played, 5)).toBe(true);
    expect(breakDue(declined(playedFor(FRESH_CLOCK, 600, 0)), 25)).toBe(false);
    expect(playingFrom(played, 540 + 299).breaks).toBe(0);
    expect(playingFrom(played, 540 + 300)).toMatchObject({ breaks: 1, played: 0 });
    expect(breakDue(playedFor(afterBreak(played), 24 * 60, 0), 25)).toBe(false);
    expect(breakDue(playedFor(afterBreak(played), 25 * 60, 0), 25)).toBe(true);
  });
});

it('stops at once when it hurts', () => {
  const sitting = new Sitting({ a: 10, b: 10 }).climb(1, 'hurts');
  expect(sitting.effects.at(-1)).toEqual({ kind: 'ended', reason: 'hurts' });
  expect(sitting.goOn().climbs).toEqual(['a 10']);
});

it('can be stopped between climbs', () => {
  const sitting = new Sitting({ a: 5, b: 5 }).climb(5).send({ kind: 'stop', reason: 'player' });
  expect(sitting.state).toMatchObject({ phase: 'ended', ended: 'player', current: null });
});

it('refuses to be empty', () => {
  expect(() => newQueue([], one)).toThrow(RangeError);
});

it('never plays an item longer than its minutes and always comes to an end', () => {
  const minutes = fc.dictionary(
    fc.string({ minLength: 1, maxLength: 3 }),
    fc.integer({ min: 1, max: 30 }),
    { minKeys: 1, maxKeys: 5 },
  );
  fc.assert(
    fc.property(
      minutes,
      fc.boolean(),
      fc.integer({ min: 1, max: 12 }),
      (items, rotate, turnMinutes) => {
        const sitting = new Sitting(items, { rotate, turnMinutes, breakEvery: 25 });
        for (let i = 0; i < 200 && sitting.state.ended === null; i++) {
          const given = stepQueue(sitting.state, { kind: 'go-on', now: 0 }).effects[0];
          sitting.climb(given?.kind === 'climb' ? given.minutes : 0);
        }
        expect(sitting.state.ended).toBe('done');
        for (const item of sitting.state.items)
          expect(item.played).toBeLessThanOrEqual(item.minutes * 60);
      },
    ),
  );
});
