// Laws that hold for every climb, whatever is played, pressed or pulled out, in whatever order.
import fc from 'fast-check';
import { describe, it, expect } from 'vitest';
import { step } from '../../../app/core/ladder/climb.ts';
import { newClimb, newFinding } from '../../../app/core/ladder/new-climb.ts';
import type {
  ClimbEffect,
  ClimbEvent,
  ClimbState,
  LadderRules,
} from '../../../app/core/ladder/model.ts';
import { unwrap } from '../../../app/core/base/result.ts';

const rules: fc.Arbitrary<LadderRules> = fc.record({
  start: fc.integer({ min: 40, max: 90 }),
  target: fc.integer({ min: 90, max: 160 }),
  beat: fc.constant('quarter' as const),
  step: fc.record({
    kind: fc.constantFrom('bpm' as const, 'percent' as const),
    by: fc.integer({ min: 3, max: 20 }),
  }),
  route: fc.constantFrom('straight' as const, 'leap' as const, 'at-target' as const),
  above: fc.integer({ min: 0, max: 2 }),
  cleanToClimb: fc.integer({ min: 1, max: 3 }),
  missedToDrop: fc.integer({ min: 1, max: 3 }),
  drop: fc.constantFrom('one-rung' as const, 'half-way' as const),
  longestOnRung: fc.integer({ min: 0, max: 4 }),
  maxPasses: fc.constantFrom(0, 0, 3, 12),
  maxMinutes: fc.constantFrom(0, 0, 1),
  restBars: fc.integer({ min: 0, max: 2 }),
});

/** Moves of a player and of a careless world; pass numbers are offsets from the latest pass. */
const move = fc.oneof(
  { weight: 6, arbitrary: fc.constant({ kind: 'next' as const }) },
  {
    weight: 5,
    arbitrary: fc.record({
      kind: fc.constant('verdict' as const),
      back: fc.integer({ min: -1, max: 2 }),
      verdict: fc.constantFrom('clean' as const, 'clean' as const, 'missed' as const),
      source: fc.constantFrom('self' as const, 'ear' as const, 'pedal' as const),
    }),
  },
  {
    weight: 1,
    arbitrary: fc.constantFrom(
      { kind: 'undo' as const },
      { kind: 'pause' as const },
      { kind: 'resume' as const },
    ),
  },
  {
    weight: 1,
    arbitrary: fc.record({
      kind: fc.constantFrom(
        'pass-started' as const,
        'unit-started' as const,
        'pass-fixed' as const,
        'pass-ended' as const,
      ),
      back: fc.integer({ min: -1, max: 2 }),
    }),
  },
);
type Move = typeof move extends fc.Arbitrary<infer M> ? M : never;

/** The event that the player would report next if nothing went wrong. */
function nextReport(state: ClimbState): ClimbEvent['kind'] {
  if (state.phase === 'ready') return 'begin';
  if (state.phase === 'paused') return 'resume';
  if (state.phase === 'playing') return 'pass-ended';
  const running = state.passes.some((p) => !p.ended);
  return state.phase === 'counting-in' && running ? 'unit-started' : 'pass-started';
}

function eventOf(state: ClimbState, m: Move, now: number): ClimbEvent {
  const last = state.passes.at(-1)?.number ?? 0;
  if (m.kind === 'next') {
    const kind = nextReport(state);
    const pass = kind === 'pass-started' && state.passes.every((p) => p.ended) ? last + 1 : last;
    return { kind, pass, now, underrun: false } as ClimbEvent;
  }
  if (m.kind === 'verdict') return { ...m, pass: last - m.back, now };
  if (m.kind === 'undo' || m.kind === 'resume') return { kind: m.kind, now };
  if (m.kind === 'pause') return { kind: 'pause', reason: 'player', now };
  return { kind: m.kind, pass: last - m.back, underrun: false, now };
}

interface Course {
  readonly states: readonly ClimbState[];
  readonly effects: readonly ClimbEffect[];
}

function run(given: LadderRules, moves: readonly Move[], owned?: number | 'finding'): Course {
  let state = unwrap(owned === 'finding' ? newFinding(given) : newClimb(given, owned));
  const states = [state];
  const effects: ClimbEffect[] = [];
  moves.forEach((m, i) => {
    const next = step(state, eventOf(state, m, i * 5));
    state = next.state;
    states.push(state);
    effects.push(...next.effects);
  });
  return { states, effects };
}

const course = fc.record({
  given: rules,
  moves: fc.array(move, { maxLength: 120 }),
  owned: fc.oneof(
    fc.option(fc.integer({ min: 20, max: 200 }), { nil: undefined }),
    fc.constant('finding' as const),
  ),
});
const holds = (law: (c: Course, given: LadderRules) => void) =>
  fc.assert(
    fc.property(course, ({ given, moves, owned }) => law(run(given, moves, owned), given)),
    { numRuns: 1000 },
  );

/** What the log says of each pass in the end: its entry with every amendment applied. */
function logged(effects: readonly ClimbEffect[]): Map<number, string> {
  const last = new Map<number, string>();
  for (const e of effects) {
    if (e.kind === 'log' && last.has(e.pass)) throw new Error(`pass ${e.pass} was logged twice`);
    if (e.kind === 'amend' && !last.has(e.pass)) throw new Error(`pass ${e.pass} amended unlogged`);
    if (e.kind === 'log' || e.kind === 'amend') last.set(e.pass, e.verdict);
  }
  return last;
}

describe('laws of a climb', () => {
  it('never leaves the ladder', () => {
    holds(({ states, effects }) => {
      const last = states.at(-1) as ClimbState;
      const floor = last.rules.route === 'at-target' ? last.targetRung : 0;
      const inside = (rung: number) => rung >= floor && rung < last.rungs.length;
      const rungs = [
        ...last.passes.map((p) => p.rung),
        ...effects.flatMap((e) => ('rung' in e ? [e.rung] : [])),
      ];
      expect(rungs.every(inside)).toBe(true);
    });
  });

  it('plays no two passes at once, numbers them in order, and leaves at most one open', () => {
    holds(({ states }) => {
      for (const s of states) {
        expect(s.passes.map((p) => p.number)).toEqual(s.passes.map((_, i) => i + 1));
        expect(s.passes.filter((p) => !p.ended).length).toBeLessThanOrEqual(1);
        expect(s.passes.filter((p) => p.open).length).toBeLessThanOrEqual(1);
      }
    });
  });

  it('judges every pass at most once, and the log says what the climb says', () => {
    holds(({ states, effects }) => {
      const passes = (states.at(-1) as ClimbState).passes;
      const settled = passes.filter((p) => p.logged);
      const log = logged(effects);
      expect([...log.keys()].sort((a, b) => a - b)).toEqual(settled.map((p) => p.number));
      for (const p of settled) expect(log.get(p.number)).toBe(p.verdict ?? 'unjudged');
    });
  });

  it('gives the same climb for the same events', () => {
    fc.assert(
      fc.property(course, ({ given, moves }) => {
        expect(run(given, moves)).toEqual(run(given, moves));
      }),
      { numRuns: 50 },
    );
  });

  it('takes a verdict back as if it had never been given', () => {
    holds(({ states }) => {
      states.forEach((before) => {
        const open = before.passes.find((p) => p.open);
        if (open === undefined || before.phase === 'finished') return;
        const judged = step(before, {
          kind: 'verdict',
          pass: open.number,
          verdict: 'missed',
          source: 'self',
          now: 1000,
        });
        const back = step(judged.state, { kind: 'undo', now: 1000 }).state;
        expect(back.footholds).toEqual(before.footholds);
        // A pass that was only counted in when the climb ended is gone; nothing was played of it.
        const played = (s: ClimbState) => s.passes.filter((p) => p.ended);
        expect(played(back).map((p) => [p.verdict, p.open])).toEqual(
          played(before).map((p) => [p.verdict, p.open]),
        );
        if (judged.state.phase !== 'finished')
          expect(back.passes).toHaveLength(before.passes.length);
        if (judged.state.phase !== 'finished') expect(back.planned).toEqual(before.planned);
      });
    });
  });

  it('plays every pass of its limit to the end', () => {
    holds(({ states }, given) => {
      const last = states.at(-1) as ClimbState;
      if (last.finished?.reason !== 'limit' || given.maxMinutes > 0) return;
      expect(last.passes.filter((p) => p.ended)).toHaveLength(given.maxPasses);
    });
  });

  it('never plays more passes than its limit', () => {
    holds(({ states }, given) => {
      const played = (states.at(-1) as ClimbState).passes.length;
      if (given.maxPasses > 0 && !states[0]?.finding)
        expect(played).toBeLessThanOrEqual(given.maxPasses);
    });
  });

  it('always has the next pass queued while one is playing, unless it is the last', () => {
    holds(({ states, effects }) => {
      const last = states.at(-1) as ClimbState;
      if (last.phase !== 'playing' || last.planned === null) return;
      const asked = effects.filter((e) => e.kind === 'queue').at(-1);
      expect(asked).toEqual({ kind: 'queue', pass: last.planned.pass, rung: last.planned.rung });
    });
  });
});
