// A ladder and a way to play it, shared by the tests of this folder.
import type {
  ClimbEffect,
  ClimbEvent,
  ClimbState,
  LadderRules,
} from '../../../app/core/ladder/model.ts';
import { step } from '../../../app/core/ladder/climb.ts';
import { newClimb } from '../../../app/core/ladder/new-climb.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { PLAIN_RULES } from '../../support/plain-rules.ts';
import type { Verdict } from '../../../app/core/model/pass.ts';

/** A climb that is played event by event and keeps what was asked of the caller. */
export class Played {
  state: ClimbState;
  readonly effects: ClimbEffect[] = [];
  ignored: string | undefined;
  now = 0;

  constructor(rules: Partial<LadderRules> = {}, ownedTempo?: number) {
    this.state = unwrap(newClimb({ ...PLAIN_RULES, ...rules }, ownedTempo));
  }

  send(event: Record<string, unknown> & { kind: ClimbEvent['kind'] }): this {
    const next = step(this.state, { now: this.now, ...event } as ClimbEvent);
    this.state = next.state;
    this.effects.push(...next.effects);
    this.ignored = next.ignored;
    return this;
  }

  begin(): this {
    return this.send({ kind: 'begin' });
  }

  /** Starts and ends the planned pass. */
  pass(seconds = 10): this {
    const number = this.state.planned?.pass ?? -1;
    this.send({ kind: 'pass-started', pass: number });
    this.send({ kind: 'unit-started', pass: number });
    this.now += seconds;
    return this.send({ kind: 'pass-ended', pass: number, underrun: false });
  }

  judge(verdict: Verdict, pass = this.state.passes.at(-1)?.number ?? -1): this {
    return this.send({ kind: 'verdict', pass, verdict, source: 'self' });
  }

  /** Passes judged in the rest bars, one by one: 'c' clean, 'm' missed, '-' unjudged. */
  rest(verdicts: string): this {
    for (const given of verdicts) {
      this.pass();
      if (given !== '-') this.judge(given === 'c' ? 'clean' : 'missed');
    }
    return this;
  }

  /** Passes played on: the verdict of each falls into the next one. */
  playOn(verdicts: string): this {
    for (const given of verdicts) {
      const number = this.state.planned?.pass ?? -1;
      this.send({ kind: 'pass-started', pass: number });
      this.send({ kind: 'unit-started', pass: number });
      if (number > 1 && given !== '-') this.judge(given === 'c' ? 'clean' : 'missed', number - 1);
      this.now += 10;
      this.send({ kind: 'pass-ended', pass: number, underrun: false });
    }
    return this;
  }

  /** Tempos of the passes played so far. */
  get tempos(): number[] {
    return this.state.passes.map((p) => this.state.rungs[p.rung] as number);
  }

  /** Effects of one kind, in order. */
  said<K extends ClimbEffect['kind']>(kind: K): Extract<ClimbEffect, { kind: K }>[] {
    return this.effects.filter((e): e is Extract<ClimbEffect, { kind: K }> => e.kind === kind);
  }
}
