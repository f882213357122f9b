// A lead line as pitches instead of places: what stays when a lead moves along or across the neck.
import { stringPitch } from '../harmony/tunings.ts';
import type { Midi, StringNo } from '../base/units.ts';
import type { Bend, Grace, NoteValue, LeadBar, LeadNote, Reach } from '../model/lead.ts';

export interface PitchedNote {
  /** Before any bend. A muted note has no pitch and keeps its string. */
  readonly pitch: Midi | { readonly mutedOn: StringNo };
  readonly reach: Reach;
  /** Index, among the notes struck just before, of the one it is reached from: they share a string. */
  readonly reachedFrom?: number;
  readonly grace?: { readonly pitch: Midi; readonly into: Grace['into'] };
  readonly bend?: Bend;
  readonly vibrato?: true;
  readonly ring?: true;
}

export type PitchedEvent =
  | { readonly kind: 'notes'; readonly value: NoteValue; readonly notes: readonly PitchedNote[] }
  | { readonly kind: 'hold'; readonly value: NoteValue }
  | { readonly kind: 'rest'; readonly value: NoteValue };

export interface PitchedBar {
  readonly events: readonly PitchedEvent[];
}

/**
 * @param open Sounding open strings from string 6 to string 1, capo included.
 * The part must have passed `checkPart`: every string exists and every reach has its source.
 */
export function toPitches(bars: readonly LeadBar[], open: readonly Midi[]): PitchedBar[] {
  let before: readonly LeadNote[] = [];
  return bars.map((bar) => ({
    events: bar.events.map((event): PitchedEvent => {
      if (event.kind !== 'notes') return event;
      const notes = event.notes.map((note) => toPitch(note, before, open));
      before = event.notes;
      return { kind: 'notes', value: event.value, notes };
    }),
  }));
}

function toPitch(note: LeadNote, before: readonly LeadNote[], open: readonly Midi[]): PitchedNote {
  const { string, fret, grace, ...rest } = note;
  const base = stringPitch(open, string);
  const reachedFrom =
    note.reach === 'picked' ? -1 : before.findIndex((other) => other.string === string);
  return {
    ...rest,
    pitch: fret === 'muted' ? { mutedOn: string } : base + fret,
    ...(reachedFrom >= 0 && { reachedFrom }),
    ...(grace && { grace: { pitch: base + grace.fret, into: grace.into } }),
  };
}
