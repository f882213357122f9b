// What the ear says of a lead line, note by note.
import type { Timing } from '../../model/pass.ts';
import type { Cents, Midi, Milliseconds, Share } from '../../base/units.ts';

export interface NoteHeard {
  /** Index into the unit's bars, and entry of that bar from 1, as the chart's own problems name them. */
  readonly bar: number;
  readonly entry: number;
  /** Positive is late; absent where no beginning was heard. */
  readonly offset?: Milliseconds;
  readonly timing: Timing;
  /** 'unsure' where the pitch could not be told: two notes at once, a very short or a noisy one. */
  readonly pitch: 'right' | 'wrong' | 'muted' | 'silent' | 'unsure';
  /** The nearest pitch heard, where it is not the written one. */
  readonly heard?: Midi;
  /** Where a bend arrived beside where it should: positive is too far. */
  readonly bend?: Cents;
  readonly confidence: Share;
}

export interface LeadHeard {
  readonly notes: readonly NoteHeard[];
  /** How far the guitar is from A4 = 440 Hz; absent where too little was heard to say. */
  readonly tuning?: Cents;
}
