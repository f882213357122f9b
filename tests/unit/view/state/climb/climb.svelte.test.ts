// The conductor, told as a climb: what is handed to the player, what reaches the log, what the stage shows.
import { loggedBar } from '../../../../../app/core/units/bars/logged-bars.ts';
import { flushSync } from 'svelte';
import { describe, expect, it } from 'vitest';
import { fail, ok } from '../../../../../app/core/base/result.ts';
import { nextWords } from '../../../../../renderer/state/climb/words.ts';
import { settled, Stage } from './stage.ts';

/** The first click comes 50 ms (what the player asks for) plus 150 ms (lead) after the start. */
const T0 = 0.2;

async function begun(...given: ConstructorParameters<typeof Stage>): Promise<Stage> {
  const stage = new Stage(...given);
  await stage.climb.go();
  return stage;
}

describe('scheduling', () => {
  it('hands over the whole lap before it starts, and the next before the first one ends', async () => {
    const stage = await begun();
    expect(stage.player.kept).toEqual([[60, T0]]);
    stage.to(T0 + 0.1);
    expect(stage.player.kept).toEqual([
      [60, T0],
      [60, T0 + 16],
    ]);
  });

  it('replaces the next lap, at the same moment, when a verdict changes the rung', async () => {
    const stage = (await begun()).to(T0 + 12.5);
    stage.climb.judge('clean');
    expect(stage.player.kept).toEqual([
      [60, T0],
      [70, T0 + 16],
    ]);
    expect(stage.player.laps.map((l) => l.cancelled)).toEqual([false, true, false]);
  });

  it('leaves a lap alone that is too near to be replaced, and moves the one after', async () => {
    const stage = (await begun()).to(T0 + 15.97);
    stage.climb.judge('clean');
    expect(stage.player.kept).toEqual([
      [60, T0],
      [60, T0 + 16],
    ]);
    expect(stage.climb.remark?.text).toBe('Up to 70 after this pass.');
    stage.to(T0 + 16.1);
    expect(stage.player.kept.at(-1)).toEqual([70, T0 + 32]);
  });

  it('leaves no silence when the main thread stalls over the rest bars', async () => {
    const stage = (await begun()).to(T0 + 11.9).stallTo(T0 + 16.5);
    expect(stage.climb.phase).toBe('counting-in');
    expect(stage.player.kept).toEqual([
      [60, T0],
      [60, T0 + 16],
      [60, T0 + 32],
    ]);
    stage.climb.judge('clean');
    expect(stage.player.kept.at(-1)).toEqual([70, T0 + 32]);
  });

  it('plays on without count-ins, and a verdict moves the pass after next', async () => {
    // 60 bpm: the first lap is 4 s of count-in and 8 s of unit; the following ones are 8 s each.
    const stage = (await begun({ rules: { restBars: 0 } })).to(T0 + 13);
    stage.climb.judge('clean');
    stage.to(T0 + 20.1);
    expect(stage.player.kept).toEqual([
      [60, T0],
      [60, T0 + 12],
      [70, T0 + 20],
      [70, expect.closeTo(T0 + 20 + (8 * 60) / 70, 2)],
    ]);
  });
});

describe('between passes', () => {
  it('says how fast the next pass is and what takes it up', async () => {
    const stage = (await begun({ rules: { cleanToClimb: 2 } })).to(T0 + 13);
    stage.climb.judge('clean');
    expect(nextWords(stage.climb.state)).toBe('Next: 60. One more clean pass takes you up.');
    stage.climb.undo();
    stage.climb.judge('missed');
    stage.climb.take('again');
    expect(nextWords(stage.climb.state)).toBe('Next: 60. 2 clean passes in a row take you up.');
  });
});

describe('the log', () => {
  it('has every verdict before the next count-in ends, and a pass cut short not at all', async () => {
    const stage = (await begun()).to(T0 + 13);
    stage.climb.judge('clean');
    await settled();
    expect(stage.log).toEqual(['60 clean']);
    stage.to(T0 + 22);
    // The process is killed here: nothing more is said to the machine side.
    expect(stage.climb.phase).toBe('playing');
    expect(stage.recorder.waiting.length).toBe(0);
    expect(stage.log).toEqual(['60 clean']);
  });

  it('keeps what was played, who judged it and that the first pass was cold', async () => {
    const stage = (await begun()).to(T0 + 13);
    stage.climb.judge('missed', 'pedal');
    await settled();
    expect(stage.services.logged[0]).toEqual({
      kind: 'pass',
      pass: {
        id: 'id2',
        at: '2031-04-05T18:20:00.000+02:00',
        session: 's1',
        climb: 'id1',
        chart: { id: 'c1', title: 'Harbour Lights' },
        unit: { key: 'section:Verse', name: 'Verse', fingerprint: 'f1' },
        rung: { bpm: 60, beat: 'quarter', index: 0, of: 5, target: 100 },
        verdict: 'missed',
        source: 'pedal',
        cold: true,
        duration: 8,
      },
      unit: { fingerprint: 'f1', bars: stage.climb.setup.unit.bars.map(loggedBar) },
    });
  });

  it('follows an undo with amendments to the same record', async () => {
    const stage = (await begun()).to(T0 + 13);
    stage.climb.judge('missed');
    stage.climb.undo();
    stage.climb.judge('clean');
    await settled();
    expect(stage.log).toEqual(['60 missed', '→ unjudged', '→ clean']);
    const amended = stage.services.logged.flatMap((e) =>
      e.kind === 'amendment' ? [e.amendment.amends] : [],
    );
    expect(amended).toEqual(['id2', 'id2']);
  });

  it('calls a pass unjudged when the next count-in ends without a word', async () => {
    const stage = (await begun()).to(T0 + 20.1);
    await settled();
    expect(stage.log).toEqual(['60 unjudged']);
  });

  it('keeps what the ear heard with the pass', async () => {
    const stage = (await begun()).to(T0 + 12.2);
    const heard = {
      bar: 1,
      change: 1,
      from: 'G',
      to: 'D',
      timing: 'late',
      chord: 'right',
      confidence: 0.9,
    } as const;
    stage.climb.judgeByEar(1, 'missed', [heard]);
    await settled();
    expect(stage.services.logged[0]).toMatchObject({ pass: { source: 'ear', changes: [heard] } });
  });

  it('flags a pass into which an audio underrun fell', async () => {
    const stage = (await begun()).to(T0 + 6);
    stage.player.trouble({ kind: 'underrun', at: T0 + 6, lost: 0.02 });
    stage.to(T0 + 13).climb.judge('missed');
    await settled();
    expect(stage.services.logged[0]).toMatchObject({ pass: { underrun: true, verdict: 'missed' } });
    expect(nextWords(stage.climb.state)).toMatch(
      /^The sound stumbled in that pass, so it does not count\. Next: \d+\./,
    );
    expect(stage.climb.state.footholds.lower.misses).toBe(0);
  });
});

describe('a machine side that cannot write', () => {
  it('keeps the passes, says so, and writes them once it can', async () => {
    let full = true;
    const stage = await begun({
      answers: {
        'log.append': ({ entries }) => {
          if (full) throw new Error('no space left on device');
          stage.services.logged.push(...entries);
          return { stored: entries.length, pending: 0 };
        },
      },
    });
    stage.to(T0 + 13).climb.judge('clean');
    await settled();
    expect(stage.recorder.waiting.length).toBe(1);
    // The view counts it at once, whatever the disk does.
    expect(stage.kept).toHaveLength(1);
    expect(stage.recorder.trouble?.message).toBe(
      '1 pass is not saved yet (no space left on device).',
    );
    full = false;
    stage.timers[0]?.run();
    await settled();
    expect(stage.log).toEqual(['60 clean']);
    expect([stage.recorder.waiting.length, stage.recorder.trouble]).toEqual([0, null]);
  });
});

describe('what the stage shows', () => {
  it('follows what is heard: chord now, chord next, beats until it', async () => {
    const stage = (await begun()).to(T0 + 6.04);
    expect(stage.climb.place).toMatchObject({
      part: 'unit',
      unitBar: 0,
      beat: 3,
      current: { symbol: 'G' },
      next: { symbol: 'D' },
    });
    expect(stage.climb.place?.beatsUntilNext).toBeCloseTo(1.98, 5);
  });

  it('shows the rungs with their results and where the climb is', async () => {
    const stage = (await begun()).to(T0 + 13);
    expect([stage.climb.message, stage.climb.awaited?.number]).toEqual(['Clean or missed?', 1]);
    stage.climb.judge('clean');
    flushSync();
    expect(stage.climb.rungs.slice(0, 2)).toEqual([
      { index: 0, bpm: 60, target: false, owned: false, here: false, results: ['clean'] },
      { index: 1, bpm: 70, target: false, owned: false, here: true, results: [] },
    ]);
    expect([stage.climb.bpm, stage.climb.undoable]).toEqual([70, true]);
    expect(stage.climb.remark?.text).toBe('Up to 70.');
  });

  it('says why a key did nothing', async () => {
    const stage = (await begun()).to(T0 + 1);
    stage.climb.judge('clean');
    expect(stage.climb.remark?.text).toBe('There is no pass to judge just now.');
  });
});

describe('pause and stop', () => {
  it('goes on from the bar, with a count-in', async () => {
    const stage = (await begun()).to(T0 + 9);
    await stage.climb.go();
    expect([stage.climb.phase, stage.player.kept]).toEqual(['paused', []]);
    stage.to(30);
    await stage.climb.go();
    // One bar of count-in, the second bar of the unit, one bar of rest.
    expect(stage.player.laps.at(-1)).toMatchObject({
      lap: { end: 12 },
      startsAt: expect.closeTo(30.2, 6),
    });
    stage.to(30.2 + 5);
    expect(stage.climb.place).toMatchObject({ part: 'unit', unitBar: 1, current: { symbol: 'D' } });
    stage.to(30.2 + 8.5).climb.judge('clean');
    await settled();
    expect(stage.services.logged[0]).toMatchObject({ pass: { duration: 8, verdict: 'clean' } });
  });

  it.each([
    [
      'the device is lost',
      (s: Stage) => s.player.trouble({ kind: 'device-lost' }),
      /sound stopped/,
    ],
    [
      'the clock stands still',
      (s: Stage) => s.player.trouble({ kind: 'clock-stopped' }),
      /sound stopped/,
    ],
    [
      'the machine goes to sleep',
      (s: Stage) => s.services.emit('power', { state: 'suspend' }),
      /sleep/,
    ],
    ['the window is hidden', (s: Stage) => s.hide(), /hidden/],
  ])('pauses and says so when %s', async (_, happens, words) => {
    const stage = (await begun()).to(T0 + 6);
    happens(stage);
    expect(stage.climb.phase).toBe('paused');
    expect(stage.climb.message).toMatch(words);
    await stage.climb.go();
    expect(stage.climb.phase).toBe('counting-in');
  });

  it('stays where it is when the sound cannot be opened, and says why', async () => {
    const stage = new Stage();
    stage.player.refuses = fail({
      code: 'no-audio-device',
      message: 'There is no sound device.',
      cure: 'Plug one in.',
    });
    await stage.climb.go();
    expect(stage.climb.phase).toBe('ready');
    expect(stage.climb.problems[0]?.message).toBe('There is no sound device.');
    stage.player.refuses = ok(undefined);
    await stage.climb.go();
    expect([stage.climb.phase, stage.climb.problems]).toEqual(['counting-in', []]);
  });

  it('begins once however often the key is pressed meanwhile', async () => {
    const stage = new Stage();
    await Promise.all([stage.climb.go(), stage.climb.go()]);
    expect(stage.player.laps).toHaveLength(1);
  });

  it('stops with a fade, lets the display sleep, and judges nothing', async () => {
    const stage = (await begun()).to(T0 + 6);
    stage.climb.stop('hurts');
    await settled();
    expect([stage.climb.phase, stage.player.stops, stage.log]).toEqual(['finished', 1, []]);
    expect(stage.climb.message).toMatch(/not held against you/);
    const awake = stage.services.calls
      .filter((c) => c.name === 'host.climbing')
      .map((c) => c.input);
    expect(awake).toEqual([
      { on: true, paused: false },
      { on: false, paused: false },
    ]);
  });

  it('lets go of everything when it is closed', async () => {
    const stage = (await begun()).to(T0 + 13);
    stage.climb.close();
    await settled();
    expect([stage.watched, stage.log]).toEqual([false, ['60 unjudged']]);
  });
});

it('climbs to the top, told by the keys of a player', async () => {
  const stage = await begun({ rules: { start: 80 } });
  const said: string[] = [];
  stage.climb.onEffect((effect) => said.push(effect.kind));
  for (let pass = 1; pass <= 3; pass++) {
    for (let s = 0; s < 60 && stage.climb.awaited === undefined; s++)
      stage.to(stage.player.clock + 1);
    stage.climb.judge('clean');
  }
  await settled();
  expect(stage.log).toEqual(['80 clean', '90 clean', '100 clean']);
  expect(stage.climb.state.finished?.reason).toBe('top');
  expect(said.filter((kind) => kind === 'moved')).toHaveLength(2);
});

describe('a drill', () => {
  // Two bars at 60 take 8 s; the first has a count-in of 4 s.
  const rules = { restBars: 0, maxPasses: 2, cleanToClimb: 4, route: 'at-target' } as const;
  const drill = (other: { maxPasses?: number; cleanToClimb?: number } = {}) =>
    begun({ rules: { ...rules, start: 60, target: 60, ...other }, setup: { detour: 'drill' } });

  it('waits a little for a word on its last pass, and logs it', async () => {
    const stage = (await drill()).to(T0 + 4 + 16.3);
    expect(stage.climb.message).toBe('That was the last pass. Clean or missed?');
    expect(stage.climb.takesIn).toBeGreaterThan(0);
    // Nothing sounds any more: no chord is “now”.
    expect(stage.climb.place).toBeUndefined();
    stage.climb.judge('clean');
    expect(stage.climb.state.finished?.reason).toBe('limit');
    await settled();
    expect(stage.log).toEqual(['60 unjudged', '60 clean']);
    const [, last] = stage.services.logged;
    expect(last).toMatchObject({ pass: { within: 'drill' } });
  });

  it('is left by itself where nothing is said', async () => {
    const stage = (await drill()).to(T0 + 4 + 16.3 + 7);
    expect(stage.climb.state.finished?.reason).toBe('limit');
    await settled();
    expect(stage.log).toEqual(['60 unjudged', '60 unjudged']);
  });

  it('so is a piece, which has rest bars', async () => {
    const piece = { ...rules, restBars: 1, maxPasses: 1, start: 60, target: 60 };
    const stage = await begun({ rules: piece, setup: { detour: 'piece' } });
    stage.to(T0 + 4 + 8.3);
    expect(stage.climb.takesIn).toBeGreaterThan(0);
    stage.to(T0 + 4 + 8.3 + 7);
    expect(stage.climb.state.finished?.reason).toBe('limit');
    await settled();
    expect(stage.log).toEqual(['60 unjudged']);
  });

  it('is left by itself, too, where it was right so often that the pass that sounds is its last', async () => {
    const stage = (await drill({ maxPasses: 4, cleanToClimb: 1 })).to(T0 + 4 + 9);
    stage.climb.judge('clean');
    stage.to(T0 + 4 + 16.3);
    expect(stage.climb.takesIn).toBeGreaterThan(0);
    stage.to(T0 + 4 + 16.3 + 7);
    expect(stage.climb.state.finished).not.toBeNull();
    await settled();
    expect(stage.log).toEqual(['60 clean', '60 unjudged']);
  });

  it('is left by itself where it was paused while it waited for a word', async () => {
    const stage = (await drill()).to(T0 + 4 + 16.3);
    stage.climb.pause('player');
    stage.to(T0 + 4 + 30);
    expect(stage.climb.state.finished).toBeNull();
    await stage.climb.go();
    stage.to(T0 + 4 + 31);
    expect(stage.climb.takesIn).toBeGreaterThan(0);
    stage.to(T0 + 4 + 38);
    expect(stage.climb.state.finished?.reason).toBe('limit');
  });

  it('may be judged pass by pass while it plays', async () => {
    const stage = (await drill()).to(T0 + 4 + 9);
    stage.climb.judge('missed');
    expect(stage.log).toEqual(['60 missed']);
  });
});
