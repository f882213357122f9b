// A queue lived through on a fake stage, and the break reminder that counts single climbs.
import { describe, expect, it } from 'vitest';
import { FRESH_CLOCK } from '../../../../../app/core/ladder/break-clock.ts';
import { Breaks } from '../../../../../renderer/state/stage/breaks.svelte.ts';
import type { Climb } from '../../../../../renderer/state/climb/climb.svelte.ts';
import { PracticeQueue } from '../../../../../renderer/state/stage/queue.svelte.ts';
import { isEntry, type QueueEntry } from '../../../../../renderer/state/stage/queue-entry.ts';
import { PLAIN_RULES } from '../../../../support/plain-rules.ts';
import { settled, Stage } from './stage.ts';

const chart = { id: 'c1', title: 'Harbour Lights' };
const unit = (name: string) => ({ key: `section:${name}`, name });

/** A queue whose climbs are begun on stages of their own; the clock is turned by hand. */
class Evening {
  readonly started: string[] = [];
  cleared = 0;
  now = 0;
  climb: Climb | undefined;
  missing = '';
  /** Stops the next climb before its sound is open. */
  early = false;
  clock = FRESH_CLOCK;
  kept: readonly QueueEntry[] = [];
  #ids = 0;
  readonly queue = new PracticeQueue({
    now: () => this.now,
    newId: () => `e${++this.#ids}`,
    breakEvery: () => 25,
    start: async (entry, minutes, from) => {
      this.started.push(`${entry.unit.name} ${minutes} ${from ?? '–'}`);
      this.climb = undefined;
      if (entry.unit.name === this.missing) return undefined;
      const stage = new Stage();
      stage.player.clock = this.now;
      const opening = stage.climb.go();
      if (this.early) stage.climb.stop('hurts');
      await opening;
      this.climb = stage.climb;
      this.#stage = stage;
      return stage.climb;
    },
    clear: async () => void this.cleared++,
    clock: () => this.clock,
    setClock: (clock) => (this.clock = clock),
    remembered: () => this.kept,
    remember: (entries) => (this.kept = entries),
  });
  #stage: Stage | undefined;

  constructor(...names: string[]) {
    for (const name of names) this.queue.add({ chart, unit: unit(name), minutes: 12 });
  }

  /** Lets the climb last `minutes` and stops it. */
  async stopAfter(minutes: number, reason: 'player' | 'hurts' = 'player'): Promise<void> {
    this.now += minutes * 60;
    this.#stage!.player.clock = this.now;
    this.climb!.stop(reason);
    await settled();
  }
}

describe('a queue', () => {
  it('begins one climb after another, each by a key', async () => {
    const evening = new Evening('Verse', 'Bridge');
    await evening.queue.begin();
    expect(evening.started).toEqual(['Verse 12 –']);
    await evening.stopAfter(3);
    expect(evening.started).toHaveLength(1);
    expect([evening.queue.state?.phase, evening.queue.current?.unit.name, evening.cleared]).toEqual(
      ['between', 'Bridge', 1],
    );
    await evening.queue.goOn();
    await evening.stopAfter(3);
    expect([evening.started[1], evening.queue.active]).toEqual(['Bridge 12 –', false]);
  });

  it('begins one climb however often the key is pressed', async () => {
    const evening = new Evening('Verse', 'Bridge');
    await evening.queue.begin();
    await evening.stopAfter(3);
    await Promise.all([evening.queue.goOn(), evening.queue.goOn()]);
    expect(evening.started).toHaveLength(2);
  });

  it('goes on in turns from the tempo reached', async () => {
    const evening = new Evening('Verse', 'Bridge');
    evening.queue.rotate = true;
    await evening.queue.begin();
    await evening.stopAfter(5);
    await evening.queue.goOn();
    await evening.stopAfter(5);
    await evening.queue.goOn();
    expect(evening.started).toEqual(['Verse 5 –', 'Bridge 5 –', 'Verse 5 60']);
  });

  it('offers the break between climbs, and counts on in the clock of the window', async () => {
    const evening = new Evening('Verse', 'Bridge');
    await evening.queue.begin();
    await evening.stopAfter(11);
    expect(evening.queue.state?.breakOffered).toBe(true);
    await evening.queue.takeBreak();
    expect([evening.queue.state?.phase, evening.clock.breaks]).toEqual(['break', 1]);
  });

  it('ends when it hurts, with the words of care left on the stage', async () => {
    const evening = new Evening('Verse', 'Bridge');
    await evening.queue.begin();
    await evening.stopAfter(1, 'hurts');
    expect([evening.queue.active, evening.queue.state, evening.cleared]).toEqual([false, null, 0]);
    expect(evening.climb?.message).toMatch(/not held against you/);
  });

  it('ends just so when it hurts before the sound is open', async () => {
    const evening = new Evening('Verse', 'Bridge');
    evening.early = true;
    await evening.queue.begin();
    await settled();
    expect([evening.queue.active, evening.queue.state, evening.cleared]).toEqual([false, null, 0]);
  });

  it('can be stopped between two climbs, and keeps the words of care until they are read', async () => {
    const evening = new Evening('Verse', 'Bridge');
    await evening.queue.begin();
    await evening.stopAfter(1);
    await evening.queue.stop('hurts');
    expect([evening.queue.active, evening.queue.hurts]).toEqual([false, true]);
    evening.queue.dismiss();
    expect(evening.queue.hurts).toBe(false);
  });

  it('passes over a climb that cannot begin', async () => {
    const evening = new Evening('Verse', 'Bridge');
    evening.missing = 'Verse';
    await evening.queue.begin();
    expect([evening.queue.state?.phase, evening.queue.current?.unit.name]).toEqual([
      'between',
      'Bridge',
    ]);
  });

  it('is filled, ordered and emptied by hand', () => {
    const evening = new Evening('Verse', 'Bridge');
    const { queue } = evening;
    queue.move(1, -1);
    queue.give('e1', 3);
    expect(queue.entries.map((e) => [e.unit.name, e.minutes])).toEqual([
      ['Bridge', 12],
      ['Verse', 3],
    ]);
    expect(queue.minutes).toBe(15);
    expect(evening.kept).toEqual(queue.entries);
    queue.remove('e2');
    queue.clear();
    expect(queue.entries).toEqual([]);
  });
});

describe('what is remembered of a queue', () => {
  const entry = { id: 'e1', chart, unit: unit('Verse'), minutes: 5 };
  it.each([
    ['an entry', entry, true],
    ['an entry with rules', { ...entry, rules: PLAIN_RULES }, true],
    ['rules that are no ladder', { ...entry, rules: { ...PLAIN_RULES, start: 900 } }, false],
    ['rules of nothing', { ...entry, rules: null }, false],
    ['half a minute', { ...entry, minutes: 0.5 }, false],
    ['no unit', { ...entry, unit: undefined }, false],
    ['nothing', null, false],
    ['text', 'Verse', false],
  ])('%s', (_, value, good) => {
    expect(isEntry(value)).toBe(good);
  });
});

describe('the break reminder', () => {
  async function play(minutes: number, reason: 'player' | 'hurts', breaks: Breaks): Promise<void> {
    const stage = new Stage();
    breaks.follow(stage.climb);
    await stage.climb.go();
    stage.player.clock += minutes * 60;
    stage.climb.stop(reason);
  }

  it('speaks after climbs only, early first, and rests after a break', async () => {
    const said: string[] = [];
    const taken: (() => void)[] = [];
    const breaks = new Breaks({
      now: () => 0,
      every: () => 25,
      suggest: (words, take) => {
        said.push(words);
        taken.push(take);
      },
    });
    await play(6, 'player', breaks);
    expect(said).toEqual([]);
    await play(6, 'player', breaks);
    expect(said).toEqual([expect.stringContaining('12 minutes')]);
    taken[0]?.();
    await play(20, 'player', breaks);
    expect(said).toHaveLength(1);
    await play(6, 'player', breaks);
    expect(said).toHaveLength(2);
  });

  it('says nothing when the climb was stopped because it hurts', async () => {
    const said: string[] = [];
    const breaks = new Breaks({
      now: () => 0,
      every: () => 25,
      suggest: (words) => said.push(words),
    });
    await play(40, 'hurts', breaks);
    expect(said).toEqual([]);
  });
});
