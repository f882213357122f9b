// A climb, told as passes and verdicts: what each rule does to the next tempo and to the log.
import { describe, expect, it } from 'vitest';
import { ACCEPTED, judgeable } from '../../../app/core/ladder/climb.ts';
import { climbed } from '../../../app/core/ladder/climbed.ts';
import { newClimb } from '../../../app/core/ladder/new-climb.ts';
import { PLAIN_RULES } from '../../support/plain-rules.ts';
import { Played } from './example.ts';

describe('straight', () => {
  it('climbs rung by rung to the target and ends there', () => {
    const it = new Played().begin().rest('ccccc');
    expect(it.tempos).toEqual([60, 70, 80, 90, 100]);
    expect(it.state.finished?.reason).toBe('top');
    expect(it.effects.at(-1)).toEqual({ kind: 'finished', reason: 'top' });
  });

  it('climbs after the clean passes in a row that the rule asks for', () => {
    expect(new Played({ cleanToClimb: 2 }).begin().rest('cmccc').tempos).toEqual([
      60, 60, 60, 60, 70,
    ]);
  });

  it('drops after the missed passes in a row that the rule asks for', () => {
    const it = new Played({ missedToDrop: 2 }).begin().rest('ccmcmmm');
    expect(it.tempos).toEqual([60, 70, 80, 80, 90, 90, 80]);
  });

  it('never drops below the first rung', () => {
    expect(new Played().begin().rest('mmm').tempos).toEqual([60, 60, 60]);
  });

  it('goes on above the target where the ladder does', () => {
    const it = new Played({ start: 90, above: 1 }).begin().rest('ccc');
    expect(it.tempos).toEqual([90, 100, 110]);
    expect(it.state.finished?.reason).toBe('top');
  });

  it('drops half-way back to the rung that the log calls owned', () => {
    // Owned 62 bpm is rung 0 (60); from rung 4 half-way back is rung 2.
    const it = new Played({ drop: 'half-way' }, 62).begin().rest('ccccm-');
    expect(it.tempos).toEqual([60, 70, 80, 90, 100, 80]);
  });

  it('owns a rung once four of five passes there are clean', () => {
    const rules = { drop: 'half-way', cleanToClimb: 10, missedToDrop: 1, start: 90 } as const;
    const it = new Played({ ...rules }).begin().rest('cccc');
    expect(it.state.footholds.owned).toBe(0);
    const other = new Played({ cleanToClimb: 3, missedToDrop: 9 }).begin().rest('ccccmcc');
    expect(other.tempos).toEqual([60, 60, 60, 70, 70, 70, 70]);
    expect(other.state.footholds.owned).toBe(0);
    expect(other.rest('c').state.footholds).toMatchObject({ owned: 1, lower: { rung: 2 } });
  });
});

describe('leap', () => {
  it('alternates the lower tempo with the target and raises the lower one', () => {
    const it = new Played({ route: 'leap' }).begin().rest('cmcmm-');
    expect(it.tempos).toEqual([60, 100, 70, 100, 80, 100]);
    expect(it.state.footholds).toMatchObject({ lower: { rung: 1 }, upper: { rung: 4 } });
  });

  it('begins at the owned tempo', () => {
    expect(new Played({ route: 'leap' }, 85).begin().rest('--').tempos).toEqual([80, 100]);
  });

  it('ends when the target is clean often enough in a row', () => {
    const it = new Played({ route: 'leap', cleanToClimb: 2 }).begin().rest('mcmc');
    expect(it.tempos).toEqual([60, 100, 60, 100]);
    expect(it.state.finished?.reason).toBe('top');
  });

  it('keeps the lower tempo below the target', () => {
    expect(new Played({ route: 'leap', start: 90 }).begin().rest('cmcm-').tempos).toEqual([
      90, 100, 90, 100, 90,
    ]);
  });

  it('has one side on a ladder of one rung', () => {
    expect(new Played({ route: 'leap', start: 100 }).begin().rest('c').state.finished?.reason).toBe(
      'top',
    );
  });
});

describe('at target', () => {
  it('stays there whatever is missed, and ends when it is clean', () => {
    const it = new Played({ route: 'at-target', cleanToClimb: 2 }).begin().rest('mmcc');
    expect(it.tempos).toEqual([100, 100, 100, 100]);
    expect(it.state.finished?.reason).toBe('top');
  });
});

describe('playing on without rest', () => {
  it('lets the verdict of pass k take effect at pass k + 2', () => {
    // Verdicts for passes 1, 2, 3 … fall into passes 2, 3, 4 …; a pass counts for the rung it was played on.
    const it = new Played({ restBars: 0 }).begin().playOn('·cccccc');
    expect(it.tempos).toEqual([60, 60, 70, 70, 80, 80, 90]);
  });

  it('calls a pass unjudged when the next one ends without a word', () => {
    const it = new Played({ restBars: 0 }).begin().playOn('·-c');
    expect(it.said('log').map((e) => e.verdict)).toEqual(['unjudged', 'clean']);
  });

  it('plays the pass that is under way to its end when the top is reached', () => {
    const it = new Played({ restBars: 0, start: 90, cleanToClimb: 1 }).begin().playOn('·c-c');
    expect(it.tempos).toEqual([90, 90, 100, 100]);
    expect(it.state).toMatchObject({ phase: 'resting', planned: null });
    expect(it.judge('missed').state.finished?.reason).toBe('top');
  });
});

describe('limits and suggestions', () => {
  it('ends after the last pass is judged', () => {
    const it = new Played({ maxPasses: 2 }).begin().rest('m');
    it.pass();
    expect(it.state).toMatchObject({ phase: 'resting', planned: null });
    expect(it.said('unqueue')).toEqual([]);
    expect(it.judge('missed').state.finished?.reason).toBe('limit');
  });

  it('plays the last pass although the one before is judged in its count-in', () => {
    const it = new Played({ maxPasses: 2 }).begin().pass().send({ kind: 'pass-started', pass: 2 });
    expect(it.judge('missed', 1).state).toMatchObject({ phase: 'counting-in', finished: null });
    expect(it.state.passes).toHaveLength(2);
  });

  it('lets the minutes end between passes, pauses left out', () => {
    const it = new Played({ maxMinutes: 1 }).begin();
    it.pass(50).judge('missed');
    it.send({ kind: 'pause', reason: 'player' });
    it.now += 600;
    it.send({ kind: 'resume' });
    expect(climbed(it.state, it.now)).toBe(50);
    it.pass(20);
    expect(it.said('unqueue')).toHaveLength(1);
    expect(it.judge('missed').state.finished?.reason).toBe('limit');
  });

  it('suggests stopping after the longest time on a rung', () => {
    const it = new Played({ longestOnRung: 3 }).begin().rest('cmcmm');
    expect(it.said('suggest')).toEqual([{ kind: 'suggest', rung: 0, passes: 3 }]);
    const toAndFro = new Played({ longestOnRung: 3 }).begin().rest('cmcmcm');
    expect(toAndFro.said('suggest')).toEqual([{ kind: 'suggest', rung: 1, passes: 3 }]);
  });
});

describe('verdicts', () => {
  it('are written once each, in order, at once', () => {
    const it = new Played().begin().rest('cm-c');
    expect(it.said('log').map((e) => [e.pass, e.verdict])).toEqual([
      [1, 'clean'],
      [2, 'missed'],
      [3, 'unjudged'],
      [4, 'clean'],
    ]);
  });

  it('are refused for a pass that is not over, is judged, or whose time has gone', () => {
    const it = new Played().begin();
    it.send({ kind: 'pass-started', pass: 1 });
    expect(it.judge('clean').ignored).toBe('Pass 1 is not over yet.');
    it.send({ kind: 'unit-started', pass: 1 });
    it.send({ kind: 'pass-ended', pass: 1, underrun: false });
    expect(it.judge('clean').judge('clean').ignored).toBe('Pass 1 is already judged.');
    it.rest('-').pass();
    expect(it.judge('clean', 2).ignored).toBe('The time to judge pass 2 is over.');
  });

  it('may still be given in the count-in of the next pass, and move the one after', () => {
    const it = new Played().begin().pass();
    it.send({ kind: 'pass-started', pass: 2 }).judge('clean', 1);
    expect(it.ignored).toBeUndefined();
    expect(it.effects.at(-1)).toEqual({ kind: 'queue', pass: 3, rung: 1 });
    expect(it.state.passes[1]?.rung).toBe(0);
  });

  it('end the climb at once when the last one falls into a count-in', () => {
    const it = new Played({ start: 100 }).begin().pass();
    it.send({ kind: 'pass-started', pass: 2 }).judge('clean', 1);
    expect(it.state.finished?.reason).toBe('top');
    expect(it.tempos).toEqual([100]);
  });

  it('move the pass after next once the queued lap is too near to be replaced', () => {
    const it = new Played().begin().pass();
    it.send({ kind: 'pass-fixed', pass: 2 }).judge('clean', 1);
    expect(it.said('queue')).toEqual([{ kind: 'queue', pass: 2, rung: 0 }]);
    it.send({ kind: 'pass-started', pass: 2 });
    expect(it.said('queue').at(-1)).toEqual({ kind: 'queue', pass: 3, rung: 1 });
  });

  it('never hold an audio underrun against the player', () => {
    const it = new Played().begin().rest('c');
    it.send({ kind: 'pass-started', pass: 2 }).send({ kind: 'unit-started', pass: 2 });
    it.send({ kind: 'pass-ended', pass: 2, underrun: true }).judge('missed');
    expect(it.said('log').at(-1)?.verdict).toBe('missed');
    expect(it.state.footholds.lower).toEqual({ rung: 1, cleans: 0, misses: 0 });
  });

  it('of the ear may be overruled by the player, with an amendment', () => {
    const it = new Played().begin().pass();
    it.send({ kind: 'verdict', pass: 1, verdict: 'missed', source: 'ear' });
    expect(judgeable(it.state)?.number).toBe(1);
    it.judge('clean');
    expect(it.said('amend')).toEqual([
      { kind: 'amend', pass: 1, verdict: 'clean', source: 'self' },
    ]);
    expect(it.state.planned).toMatchObject({ pass: 2, rung: 1 });
    expect(it.send({ kind: 'verdict', pass: 1, verdict: 'missed', source: 'ear' }).ignored).toBe(
      'Pass 1 is already judged.',
    );
  });
});

describe('undo', () => {
  it('puts the standing back and amends the log', () => {
    const it = new Played().begin().rest('c').pass();
    const before = it.state;
    it.judge('missed').send({ kind: 'undo' });
    expect(it.effects.at(-2)).toEqual({
      kind: 'amend',
      pass: 2,
      verdict: 'unjudged',
      source: 'self',
    });
    expect({ ...it.state, passes: [] }).toEqual({ ...before, undoable: null, passes: [] });
    expect(it.state.passes[1]).toEqual({ ...before.passes[1], logged: true });
  });

  it('lets the pass be judged again, as a second amendment', () => {
    const it = new Played().begin().pass().judge('missed').send({ kind: 'undo' }).judge('clean');
    expect(it.effects.map((e) => e.kind).filter((k) => k === 'log' || k === 'amend')).toEqual([
      'log',
      'amend',
      'amend',
    ]);
    expect(it.state.planned?.rung).toBe(1);
  });

  it('brings back a climb that the verdict finished, paused', () => {
    const it = new Played({ start: 100 }).begin().rest('c');
    it.now += 60;
    it.send({ kind: 'undo' });
    expect(it.state).toMatchObject({ phase: 'paused', finished: null });
    it.judge('missed').send({ kind: 'resume' });
    expect(it.effects.at(-1)).toEqual({ kind: 'play', pass: 2, rung: 0, again: false });
    expect(climbed(it.state, it.now)).toBe(10);
  });

  it('says when there is nothing to take back', () => {
    expect(new Played().begin().pass().send({ kind: 'undo' }).ignored).toBe(
      'There is no verdict to take back.',
    );
  });
});

describe('pause', () => {
  it('takes up the same pass again and leaves it to the player to judge', () => {
    const it = new Played().begin();
    it.send({ kind: 'pass-started', pass: 1 }).send({ kind: 'unit-started', pass: 1 });
    it.send({ kind: 'pause', reason: 'audio-lost' }).send({ kind: 'resume' });
    expect(it.effects.slice(-2)).toEqual([
      { kind: 'halt', reason: 'audio-lost' },
      { kind: 'play', pass: 1, rung: 0, again: true },
    ]);
    it.send({ kind: 'pass-started', pass: 1 });
    expect(it.effects.at(-1)).toEqual({ kind: 'queue', pass: 2, rung: 0 });
    it.send({ kind: 'unit-started', pass: 1 }).send({
      kind: 'pass-ended',
      pass: 1,
      underrun: false,
    });
    expect(it.judge('clean').state.passes[0]).toMatchObject({
      interrupted: true,
      verdict: 'clean',
    });
  });

  it('forgets a pass that was only counted in, and follows a verdict given meanwhile', () => {
    const it = new Played().begin().pass().send({ kind: 'pass-started', pass: 2 });
    it.send({ kind: 'pause', reason: 'player' }).judge('clean').send({ kind: 'resume' });
    expect(it.effects.at(-1)).toEqual({ kind: 'play', pass: 2, rung: 1, again: false });
  });
});

describe('stop', () => {
  it.each(['player', 'hurts'] as const)(
    'for reason ‘%s’ holds nothing against the pass under way',
    (reason) => {
      const it = new Played().begin().rest('c').send({ kind: 'pass-started', pass: 2 });
      it.send({ kind: 'unit-started', pass: 2 }).send({ kind: 'stop', reason });
      expect(it.said('log').map((e) => e.verdict)).toEqual(['clean']);
      expect(it.state.finished?.reason).toBe(reason);
    },
  );

  it('records an ended pass that nobody judged', () => {
    const it = new Played().begin().pass().send({ kind: 'stop', reason: 'player' });
    expect(it.said('log')).toEqual([{ kind: 'log', pass: 1, verdict: 'unjudged', source: 'self' }]);
  });
});

describe('the table of phases', () => {
  it('ignores what means nothing, with a reason', () => {
    expect(new Played().send({ kind: 'resume' }).ignored).toBe(
      '“resume” means nothing while the climb is ready.',
    );
    expect(ACCEPTED.paused).not.toContain('pause');
  });

  it('refuses a ladder that is no ladder', () => {
    expect(newClimb({ ...PLAIN_RULES, start: 120 })).toMatchObject({ ok: false });
  });
});
