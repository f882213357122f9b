// The partner: what it answers to misses, that it never repeats itself, and that there is always a way on.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ACCEPTED, step } from '../../../app/core/ladder/climb.ts';
import type { ClimbEvent, ClimbState, LadderRules } from '../../../app/core/ladder/model.ts';
import { newClimb } from '../../../app/core/ladder/new-climb.ts';
import { newPartner } from '../../../app/core/ladder/partner.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import type { BreakPlace } from '../../../app/core/model/unit.ts';
import { PLAIN_RULES } from '../../support/plain-rules.ts';
import { Played } from './example.ts';

const places: readonly BreakPlace[] = [
  { bar: 1, change: 1, from: 'D', to: 'Bm' },
  { bar: 2, change: 2, from: 'Bm', to: 'G' },
  { bar: 3, change: 3, from: 'G', to: 'A' },
];

/** Rungs 60–100 with a partner who knows four bars with three changes. */
class Partnered extends Played {
  constructor(rules: Partial<LadderRules> = {}, bars = 4) {
    super();
    const partner = newPartner(bars > 1 ? places : [], bars);
    this.state = unwrap(
      newClimb({ ...PLAIN_RULES, missedToDrop: 2, ...rules }, undefined, partner),
    );
  }

  miss(): this {
    return this.pass().judge('missed');
  }
  broke(place: BreakPlace | null): this {
    return this.send({ kind: 'broke', place, source: 'self' });
  }
  take(answer?: string): this {
    this.send({ kind: 'take', ...(answer && { answer }) });
    return this.state.phase === 'away' ? this.send({ kind: 'back' }) : this;
  }
  get offered(): string {
    return this.state.partner?.asked?.answers[0]?.kind ?? 'nothing';
  }
}

describe('a miss', () => {
  it('is logged at once and asked about in silence', () => {
    const it = new Partnered().begin().miss();
    expect(it.state.phase).toBe('asking');
    expect(it.effects.slice(-2)).toMatchObject([
      { kind: 'log', verdict: 'missed' },
      { kind: 'ask' },
    ]);
    expect(it.state.planned).toBeNull();
  });

  it('that is one of two allowed is played once more; the second leads a rung lower', () => {
    const it = new Partnered({ start: 80 }).begin().rest('c').miss();
    expect(it.offered).toBe('again');
    it.take().miss();
    expect(it.offered).toBe('slower');
    it.take();
    expect(it.said('moved').at(-1)).toMatchObject({ move: 'dropped', rung: 0 });
    expect(it.state.phase).toBe('counting-in');
  });

  it('at a change is marked for the log and drilled, then the climb goes on a rung lower', () => {
    const it = new Partnered({ start: 60 }).begin().rest('cc').miss().broke(places[1]!);
    expect(it.said('mark')).toMatchObject([{ place: places[1], source: 'self' }]);
    const [first] = it.state.partner!.asked!.answers;
    expect(first).toMatchObject({ kind: 'drill', bpm: 60, seconds: 45, place: places[1] });
    it.send({ kind: 'take' });
    expect(it.state.phase).toBe('away');
    it.send({ kind: 'back' });
    expect(it.state.rungs[it.state.planned!.rung]).toBe(70);
  });

  it('at the lowest rung adds a rung underneath; what was played keeps its tempo', () => {
    const it = new Partnered().begin().miss().take('slower').miss().take('slower');
    expect(it.state.rungs).toEqual([40, 50, 60, 70, 80, 90, 100]);
    expect(it.tempos).toEqual([60, 50]);
    expect(it.state.rungs[it.state.targetRung]).toBe(100);
    expect(it.state.rungs[it.state.planned!.rung]).toBe(40);
  });

  it('by the ear is offered where the ear heard it, and marks nothing by hand', () => {
    const it = new Partnered().begin().miss();
    it.send({ kind: 'broke', place: places[2], source: 'ear' });
    expect(it.state.partner!.asked!.place).toEqual(places[2]);
    expect(it.said('mark')).toEqual([]);
  });

  it('offers what broke before', () => {
    const it = new Partnered().begin().miss().broke(places[0]!).take().rest('c').miss();
    expect(it.state.partner!.asked!.place).toEqual(places[0]);
  });

  it('can be taken back in the silence, and then be clean', () => {
    const it = new Partnered().begin().miss().send({ kind: 'undo' });
    expect([it.state.phase, it.state.partner!.asked]).toEqual(['asking', null]);
    it.judge('clean', 1);
    expect(it.state.phase).toBe('counting-in');
    expect(it.state.rungs[it.state.planned!.rung]).toBe(70);
  });

  it('in play-on is played through; so many in a row fall silent after the pass that sounds', () => {
    const it = new Partnered({ restBars: 0, missedToDrop: 2 }).begin().playOn('-m');
    expect(it.said('ask')).toEqual([]);
    it.playOn('m');
    // The second miss was judged while pass 3 sounded: nothing follows it.
    expect(it.said('ask')).toMatchObject([{ pass: 2 }]);
    expect([it.state.phase, it.said('moved')]).toEqual(['asking', []]);
    expect(it.state.passes.map(({ verdict }) => verdict)).toEqual(['missed', 'missed', 'unjudged']);
    it.take('slower');
    expect([it.state.phase, it.state.rungs[it.state.planned!.rung]]).toEqual(['counting-in', 50]);
  });

  it('that is said in a pause is asked about when the climb goes on', () => {
    const it = new Partnered().begin().rest('c').pass();
    it.send({ kind: 'pause', reason: 'player' }).judge('missed');
    expect([it.state.phase, it.said('ask')]).toEqual(['paused', []]);
    it.send({ kind: 'resume' });
    expect([it.state.phase, it.offered]).toEqual(['asking', 'again']);
    // Taken back in the pause, it is asked about no more.
    const back = new Partnered().begin().rest('c').pass();
    back.send({ kind: 'pause', reason: 'player' }).judge('missed').send({ kind: 'undo' });
    expect(back.judge('clean').send({ kind: 'resume' }).state.phase).toBe('counting-in');
  });

  it('is told to the log by the pass that its step leads to', () => {
    const it = new Partnered().begin().miss().broke(places[0]!).take('drill').pass();
    it.judge('clean').pass();
    expect(it.state.passes.map(({ after }) => after)).toEqual([null, 'drill', null]);
  });

  it('that led to a drill can be taken back, and then the verdict, too', () => {
    const it = new Partnered().begin().rest('c').miss().broke(places[1]!);
    const asked = it.state.partner!.asked;
    it.send({ kind: 'take', answer: 'drill' }).send({ kind: 'undo' });
    expect([it.state.phase, it.state.partner!.asked]).toEqual(['asking', asked]);
    expect(it.state.partner!.taken).toEqual([]);
    it.send({ kind: 'undo' });
    expect(it.said('amend').at(-1)).toMatchObject({ pass: 2, verdict: 'unjudged' });
  });

  it('asks again after a pause', () => {
    const it = new Partnered().begin().miss();
    it.send({ kind: 'pause', reason: 'hidden' }).send({ kind: 'resume' });
    expect(it.state.phase).toBe('asking');
    expect(it.said('ask')).toHaveLength(2);
  });
});

describe('a success', () => {
  it('in a row of four earns two rungs at once, and never the target', () => {
    const it = new Partnered({ target: 160 }).begin().rest('cccc');
    expect(it.said('moved').map(({ by = 1 }) => by)).toEqual([1, 1, 1, 2]);
    const short = new Partnered().begin().rest('cccc');
    expect(short.said('moved').every(({ by }) => by === undefined)).toBe(true);
  });
});

const hands = fc.record({
  verdicts: fc.array(fc.constantFrom('clean', 'missed', 'missed'), { minLength: 1, maxLength: 40 }),
  marks: fc.array(fc.option(fc.nat(2)), { minLength: 40, maxLength: 40 }),
  wishes: fc.array(fc.option(fc.nat(5), { freq: 2 }), { minLength: 40, maxLength: 40 }),
  bars: fc.integer({ min: 1, max: 6 }),
  start: fc.integer({ min: 20, max: 60 }),
  route: fc.constantFrom('straight' as const, 'leap' as const, 'at-target' as const),
  missedToDrop: fc.integer({ min: 1, max: 3 }),
});

/** Plays verdict by verdict; `seen` is told of every question. */
function play(
  h: typeof hands extends fc.Arbitrary<infer T> ? T : never,
  seen: (it: Partnered) => void,
) {
  const { start, route, missedToDrop, bars } = h;
  const it = new Partnered({ start, route, missedToDrop }, bars).begin();
  h.verdicts.forEach((verdict, i) => {
    if (it.state.phase === 'finished') return;
    if (it.state.phase === 'paused') it.send({ kind: 'resume' });
    it.pass().judge(verdict as 'clean' | 'missed');
    if (it.state.phase !== 'asking') return;
    const mark = h.marks[i];
    if (mark !== null && mark !== undefined && bars > 1) it.broke(places[mark]!);
    seen(it);
    const wish = h.wishes[i];
    const answers = it.state.partner!.asked!.answers;
    it.take(wish === null || wish === undefined ? undefined : answers[wish % answers.length]!.kind);
  });
  return it;
}

describe('laws of the partner', () => {
  it('nobody is caught in play-on either: the climb sounds, asks or is over, and its log holds', () => {
    const word = fc.constantFrom('c', 'm', 'm', '-');
    fc.assert(
      fc.property(
        fc.array(word, { maxLength: 30 }),
        fc.integer({ min: 1, max: 3 }),
        (said, drop) => {
          const it = new Partnered({ restBars: 0, missedToDrop: drop }).begin();
          for (const one of said) {
            if (it.state.phase === 'finished') break;
            if (it.state.phase === 'paused') it.send({ kind: 'resume' });
            if (it.state.phase === 'asking') it.take();
            else it.playOn(one);
            expect(waysOn(it.state)).not.toEqual([]);
            expect(it.state.passes.filter(({ open }) => open).length).toBeLessThanOrEqual(1);
          }
          const logged = it.said('log').map(({ pass }) => pass);
          expect(new Set(logged).size).toBe(logged.length);
        },
      ),
    );
  });

  it('there is always a step, the rungs rise, and the next pass is at a tempo of the ladder', () => {
    fc.assert(
      fc.property(hands, (h) => {
        const it = play(h, ({ state }) => {
          expect(state.partner!.asked!.answers.length).toBeGreaterThanOrEqual(3);
        });
        const { rungs, phase, planned } = it.state;
        expect(rungs.every((bpm, i) => bpm >= 20 && (i === 0 || bpm > rungs[i - 1]!))).toBe(true);
        expect(['counting-in', 'resting', 'paused', 'finished']).toContain(phase);
        if (phase === 'counting-in') expect(rungs[planned!.rung]).toBeGreaterThanOrEqual(20);
      }),
    );
  });

  it('what is taken by itself is never the same within three misses running', () => {
    fc.assert(
      fc.property(hands, (h) => {
        let run: string[] = [];
        play({ ...h, wishes: [] }, (it) => {
          if (it.state.partner!.taken.length === 0) run = [];
          run.push(it.offered);
          expect(new Set(run.slice(-3)).size).toBe(Math.min(3, run.length));
        });
      }),
    );
  });

  it('nobody is caught: whatever is pressed in whatever phase, some event leads on', () => {
    const kinds = ['take', 'broke', 'undo', 'pause', 'resume', 'back', 'verdict'] as const;
    fc.assert(
      fc.property(hands, fc.array(fc.constantFrom(...kinds), { maxLength: 30 }), (h, presses) => {
        const it = play({ ...h, verdicts: [...h.verdicts, 'missed'] }, () => undefined);
        for (const kind of presses) {
          const verdict = { verdict: 'clean', pass: it.state.passes.at(-1)?.number ?? 0 };
          it.send({ kind, place: places[0], source: 'self', reason: 'player', ...verdict });
          expect(waysOn(it.state)).not.toEqual([]);
        }
      }),
    );
  });

  it('a new rung under the ladder changes no tempo that was played', () => {
    fc.assert(
      fc.property(hands, (h) => {
        let before: number[] = [];
        play(h, (it) => {
          expect(it.tempos.slice(0, before.length)).toEqual(before);
          before = it.tempos;
        });
      }),
    );
  });
});

/** Events that change something now. */
function waysOn(state: ClimbState): readonly string[] {
  if (state.phase === 'finished') return ['again'];
  const pass = state.planned?.pass ?? state.passes.at(-1)?.number ?? 1;
  return ACCEPTED[state.phase].filter((kind) => {
    const event = { kind, pass, now: 1e6, verdict: 'clean', source: 'self', place: null };
    return step(state, event as unknown as ClimbEvent).ignored === undefined;
  });
}
