// Can this lead line be played as written? Bars must add up and each technique must be possible.
import { compare, sum, toNumber, type Rational } from '../base/rational.ts';
import type { Fret } from '../base/units.ts';
import { valueLength, type LeadBar, type LeadNote } from '../model/lead.ts';
import type { LeadProblem } from './notation.ts';

export interface NeckLimits {
  readonly strings: number;
  /** Highest fret of the neck, counted from the nut or capo. */
  readonly frets: Fret;
}

/** Where a note stands, in the words of its messages. */
interface NotePlace {
  readonly part: string;
  readonly bar: number;
  readonly note: number;
}

/** The note sounding last on each string: what a hammer-on or slide can start from. */
type RingingNotes = Map<number, LeadNote>;

/**
 * Every problem of one written part, in playing order. `lengths` are the bars' lengths in quarter notes,
 * one per bar of the part; a part with more bars than lengths runs past its section.
 */
export function checkPart(
  bars: readonly LeadBar[],
  lengths: readonly Rational[],
  part: string,
  neck: NeckLimits,
): readonly LeadProblem[] {
  const sounding: RingingNotes = new Map();
  let started = false;
  return bars.flatMap((bar, index) => {
    const problems = checkLength(bar, lengths[index], part, index + 1);
    bar.events.forEach((event, at) => {
      const place = { part, bar: index + 1, note: at + 1 };
      if (event.kind === 'rest') sounding.clear();
      if (event.kind === 'hold' && !started) problems.push(nothingToHold(place));
      if (event.kind === 'notes') problems.push(...checkNotes(event.notes, sounding, place, neck));
      started = event.kind !== 'rest';
    });
    return problems;
  });
}

function checkLength(
  bar: LeadBar,
  length: Rational | undefined,
  part: string,
  number: number,
): LeadProblem[] {
  if (!length) {
    return [
      problem('lead-past-section', `${part} has a bar ${number}, but its section ends before it`, {
        cure: 'Take the bar out, or start it in an earlier bar of the section.',
        where: { bar: number - 1 },
      }),
    ];
  }
  const played = sum(bar.events.map((event) => valueLength(event.value)));
  const difference = compare(played, length);
  if (difference === 0) return [];
  return [
    problem(
      'lead-bar-length',
      `${part}, bar ${number} lasts ${quarters(played)}; the bar has ${quarters(length)}`,
      {
        cure: difference > 0 ? 'Shorten or take out a note.' : 'Add a rest or lengthen a note.',
        where: { bar: number - 1, lasts: length },
      },
    ),
  ];
}

function checkNotes(
  notes: readonly LeadNote[],
  sounding: RingingNotes,
  place: NotePlace,
  neck: NeckLimits,
): LeadProblem[] {
  const problems: LeadProblem[] = [];
  const used = new Set<number>();
  for (const note of notes) {
    if (used.has(note.string)) problems.push(twiceOnString(note, place));
    used.add(note.string);
    problems.push(...checkOnNeck(note, place, neck), ...checkTechnique(note, sounding, place));
  }
  for (const note of notes) sounding.set(note.string, note);
  return problems;
}

function checkOnNeck(note: LeadNote, place: NotePlace, neck: NeckLimits): LeadProblem[] {
  if (note.string < 1 || note.string > neck.strings) {
    return [
      at(place, 'lead-string', `there is no string ${note.string}`, {
        cure: `Use a string from 1 (highest) to ${neck.strings} (lowest).`,
      }),
    ];
  }
  const frets = [note.fret, note.grace?.fret].filter((fret) => typeof fret === 'number');
  return frets
    .filter((fret) => fret > neck.frets)
    .map((fret) =>
      at(place, 'lead-fret', `fret ${fret} is off the neck`, {
        cure: `The neck ends at fret ${neck.frets}; play it on a higher string.`,
      }),
    );
}

function checkTechnique(note: LeadNote, sounding: RingingNotes, place: NotePlace): LeadProblem[] {
  const problems: LeadProblem[] = [];
  const before = sounding.get(note.string);
  if (note.reach !== 'picked') {
    problems.push(...checkReach(note.reach, before?.fret, note, place));
  }
  if (note.grace) problems.push(...checkReach(note.grace.into, note.grace.fret, note, place));
  if (note.bend && (note.fret === 0 || note.fret === 'muted')) {
    problems.push(
      at(place, 'lead-bend', 'a bend needs a fretted note', {
        cure: 'Give it a fret above 0, or take the bend away.',
      }),
    );
  }
  if (note.vibrato && note.fret === 'muted') {
    problems.push(
      at(place, 'lead-vibrato', 'a muted note has no pitch to vary', {
        cure: 'Take the vibrato away, or give the note a fret.',
      }),
    );
  }
  return problems;
}

const REACH_RULES = {
  'hammer-on': { up: true, words: 'a hammer-on must go up' },
  'pull-off': { up: false, words: 'a pull-off must go down' },
  'slide-up': { up: true, words: 'a slide up must go up' },
  'slide-down': { up: false, words: 'a slide down must go down' },
} as const;

function checkReach(
  reach: keyof typeof REACH_RULES,
  from: Fret | 'muted' | undefined,
  note: LeadNote,
  place: NotePlace,
): LeadProblem[] {
  const rule = REACH_RULES[reach];
  if (from === undefined || from === 'muted' || note.fret === 'muted') {
    return [
      at(place, 'lead-reach', `nothing sounds on string ${note.string} to reach it from`, {
        cure: 'Pick the note, or play a note on the same string before it.',
      }),
    ];
  }
  if (rule.up ? note.fret > from : note.fret < from) return [];
  return [
    at(place, 'lead-reach', `${rule.words} on the same string, not from ${from} to ${note.fret}`, {
      cure: rule.up ? `Choose a fret above ${from}.` : `Choose a fret below ${from}.`,
    }),
  ];
}

const twiceOnString = (note: LeadNote, place: NotePlace): LeadProblem =>
  at(place, 'lead-twice', `string ${note.string} is struck twice at once`, {
    cure: 'Move one of the two notes to another string.',
  });

const nothingToHold = (place: NotePlace): LeadProblem =>
  at(place, 'lead-hold', 'there is no note to hold', {
    cure: 'Write a note or a rest (r) first.',
  });

const at = (
  { part, bar, note }: NotePlace,
  code: string,
  what: string,
  { cure }: { cure: string },
): LeadProblem =>
  problem(code, `${part}, bar ${bar}, entry ${note}: ${what}`, {
    cure,
    where: { bar: bar - 1, event: note - 1 },
  });

const problem = (
  code: string,
  message: string,
  rest: Pick<LeadProblem, 'cure' | 'where'>,
): LeadProblem => ({ code, message, ...rest });

function quarters(length: Rational): string {
  const count = toNumber(length);
  return `${Number(count.toFixed(3))} quarter note${count === 1 ? '' : 's'}`;
}
