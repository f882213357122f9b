// What the ear heard of a pass, in words and marks: pure functions of its report.
import { changeName, changeWords, inMs } from '../../../app/core/ear/words.ts';
import type { PassHeard, VerdictRule } from '../../../app/core/ear/verdict.ts';
import { shownSymbol } from '../../../app/core/harmony/note-names.ts';
import type { NoteNames } from '../../../app/core/model/chord.ts';
import type { LeadNote } from '../../../app/core/model/lead.ts';
import type { ChangeHeard, ChangeTold } from '../../../app/core/model/pass.ts';
import type { Seconds } from '../../../app/core/base/units.ts';
import { howBroken, type WeakChange, worstChange } from '../../../app/core/ear/broken.ts';
import { type ChangeFault, isTold } from '../../../app/core/log/told.ts';

/** One shape each, so that colour never says it alone. */
export type EarMarkKind = 'right' | ChangeFault | 'untold';

export interface MarkedChange {
  readonly kind: EarMarkKind;
  /** Chord that was due, or "3·7" for string 3, fret 7. */
  readonly name: string;
  /** "+140 ms", or what was heard instead; '' where there is nothing to add. */
  readonly beside: string;
  /** For the screen reader. */
  readonly words: string;
  /** Number within the unit. */
  readonly change: number;
  /** Does the player's word stand here? */
  readonly byHand: boolean;
}

export interface MarkedBar {
  /** Counted from 1 within the unit. */
  readonly number: number;
  readonly changes: readonly MarkedChange[];
}

/** String and fret of a note in tab. */
export type NotePlace = Pick<LeadNote, 'string' | 'fret'>;

/** What the ear heard of one pass. */
export interface Report {
  readonly changes: readonly ChangeTold[];
  /** Where a lead was played: which note was due at each change, by its number. */
  readonly notes?: readonly NotePlace[];
  /** One beat at the pass's tempo. */
  readonly beat: Seconds;
}

/** Bars of which something was heard, in order. @param names as the chart has them */
export function markedBars(
  report: Report,
  rule: VerdictRule,
  names?: NoteNames,
): readonly MarkedBar[] {
  const bars = Map.groupBy(report.changes, ({ bar }) => bar);
  return [...bars].map(([bar, changes]) => ({
    number: bar + 1,
    changes: changes.map((change) => marked(change, rule, report, names)),
  }));
}

function marked(
  change: ChangeTold,
  rule: VerdictRule,
  { beat, notes }: Pick<Report, 'beat' | 'notes'>,
  names: NoteNames | undefined,
): MarkedChange {
  const byHand = change.byHand === true;
  const kind = isTold(change) ? (howBroken(change, rule, beat) ?? 'right') : 'untold';
  const said = byHand ? 'right by your own word' : changeWords(change, names);
  return {
    ...{ kind, byHand, change: change.change, name: shortName(change, notes, names) },
    beside: byHand ? 'your word' : besideOf(change, kind, names),
    words: `${placeName(change, notes, names)}: ${said}`,
  };
}

function besideOf(change: ChangeHeard, kind: EarMarkKind, names: NoteNames | undefined): string {
  switch (kind) {
    case 'untold':
    case 'silent':
      return '';
    case 'wrong':
      return instead(change, names);
    case 'right':
    case 'early':
    case 'late':
      return change.offset === undefined ? '' : `${signed(change.offset)} ms`;
  }
}

function instead({ chord, from, heard }: ChangeHeard, names: NoteNames | undefined): string {
  if (chord === 'held') return `still ${shownSymbol(from, names)}`;
  if (chord === 'muted') return 'muted';
  return heard === undefined ? 'other' : shownSymbol(heard, names);
}

/** "+140", "−60", "0": a real minus sign. */
export const signed = (offset: number): string => {
  const whole = Math.round(offset);
  return whole === 0 ? '0' : `${whole < 0 ? '−' : '+'}${Math.abs(whole)}`;
};

/** A note by string and fret, "3·7"; a chord by its symbol. */
function shortName(
  { change, to }: ChangeHeard,
  notes: Report['notes'],
  names: NoteNames | undefined,
): string {
  const note = notes?.[change];
  return note
    ? `${note.string}·${note.fret === 'muted' ? '×' : note.fret}`
    : shownSymbol(to, names);
}

/** A note of a lead is named alone, a chord with the one before it. */
const placeName = (
  change: Pick<ChangeHeard, 'from' | 'to'>,
  notes: Report['notes'],
  names: NoteNames | undefined,
): string => (notes ? change.to : changeName(change, names));

/** "C → F♯m in bar 6: late by 140 ms"; undefined where every change was right. */
export function worstWords(
  report: Report,
  rule: VerdictRule,
  names?: NoteNames,
): string | undefined {
  const worst = worstChange(report.changes, rule, report.beat);
  return (
    worst &&
    `${placeName(worst, report.notes, names)} in bar ${worst.bar + 1}: ${changeWords(worst, names)}`
  );
}

/** "C → F♯m in bar 6: late by 140 ms in 4 of 5". @param notes as in {@link Report} */
export function weakWords(weak: WeakChange, notes: Report['notes'], names?: NoteNames): string {
  const { bar, how, offset, broke, heard } = weak;
  return `${placeName(weak, notes, names)} in bar ${bar + 1}: ${howWords(how, offset)} in ${broke} of ${heard}`;
}

function howWords(how: ChangeFault, offset: number | undefined): string {
  switch (how) {
    case 'late':
    case 'early':
      return offset === undefined ? how : `${how} by ${inMs(offset)}`;
    case 'wrong':
      return 'not the right sound';
    case 'silent':
      return 'not heard';
  }
}

/** The sum of a pass in one sentence, saying who judged and what could not be told. */
export function reportWords(
  report: PassHeard & Pick<Report, 'notes'> & { readonly overruled?: boolean },
): string {
  const { verdict, held, judged, unsure, overruled = false } = report;
  const what = report.notes ? 'notes' : 'changes';
  if (verdict === null && judged === 0) return 'The ear could not tell. Clean or missed?';
  const share = `${held} of ${judged} ${what} right`;
  const untold = unsure === 0 ? '' : `, ${unsure} could not be told`;
  if (verdict === null) return `${share}${untold}. The ear leaves it to you: clean or missed?`;
  const by = overruled ? 'by your word' : 'by ear';
  return `${verdict === 'clean' ? 'Clean' : 'Missed'} ${by}: ${share}${untold}.`;
}
