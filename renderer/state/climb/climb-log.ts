// What a climb writes into the log: a record of each pass, and later words on it.
import type { Bpm } from '../../../app/core/base/units.ts';
import type { ClimbEffect, ClimbState } from '../../../app/core/ladder/model.ts';
import { passOf } from '../../../app/core/ladder/plan.ts';
import type { Broke } from '../../../app/core/model/pass.ts';
import type { HandedLaps } from './handed-laps.ts';
import type { PassNotes } from './notes.ts';
import { playedUnit, recordOf, type Sitting } from './pass-record.ts';
import type { Surroundings } from './surroundings.ts';

type Effect<K extends ClimbEffect['kind']> = Extract<ClimbEffect, { kind: K }>;

export class ClimbLog {
  readonly #sitting: Sitting;
  readonly #notes: PassNotes;
  readonly #laps: Pick<HandedLaps, 'unitSeconds'>;
  readonly #around: Pick<Surroundings, 'recorder' | 'isoNow'>;

  constructor(
    sitting: Sitting,
    notes: PassNotes,
    laps: Pick<HandedLaps, 'unitSeconds'>,
    around: Pick<Surroundings, 'recorder' | 'isoNow'>,
  ) {
    this.#sitting = sitting;
    this.#notes = notes;
    this.#laps = laps;
    this.#around = around;
  }

  write(state: ClimbState, { pass: number, verdict, source }: Effect<'log'>): void {
    const pass = passOf(state, number);
    const duration = this.#laps.unitSeconds(state.rungs[pass.rung] as Bpm);
    const facts = { ...this.#notes.facts(number), duration, verdict, source };
    const record = recordOf(this.#sitting, state, pass, facts);
    const unit = playedUnit(this.#sitting.unit);
    this.#around.recorder.append({ kind: 'pass', pass: record, unit });
  }

  /** Another word on a pass that is written. */
  amend(said: Omit<Effect<'amend'>, 'kind'>): void {
    this.#append(said);
  }

  /** Where a judged pass broke; null takes it back. */
  mark(state: ClimbState, { pass, place, source: by }: Effect<'mark'>): void {
    const { verdict, source } = passOf(state, pass);
    if (verdict === null || source === null) return;
    this.#append({ pass, verdict, source }, place && { ...place, by });
  }

  #append({ pass, verdict, source }: Omit<Effect<'amend'>, 'kind'>, broke?: Broke | null): void {
    const { id: amends } = this.#notes.facts(pass);
    const at = this.#around.isoNow();
    const said = { ...this.#notes.said(pass), ...(broke && { broke }) };
    const amendment = { amends, at, verdict, source, ...said };
    this.#around.recorder.append({ kind: 'amendment', amendment });
  }
}
