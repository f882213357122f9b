// The typed values of a chart's head: tempo, meter, feel, tuning, capo and pinned shapes, read and printed.
import { fromNames } from '../../harmony/note-names.ts';
import { printNote } from '../../harmony/notes.ts';
import { TUNINGS, readTuning, tuningWithOctaves } from '../../harmony/tunings.ts';
import { type Result, fail, ok } from '../../base/result.ts';
import type { BeatUnit } from '../../base/units.ts';
import { parseFrets, printFrets } from '../../fretboard/frets.ts';
import { checkMeter, defaultGrouping, usualBeatUnit } from '../../rhythm/meter.ts';
import type { ChartShape, Feel, Meter, Tempo, Tuning } from '../../model/chart.ts';
import type { NoteNames } from '../../model/chord.ts';
import { checkFeel, checkTempo } from '../rules/head.ts';

const refuse = (code: string, message: string, cure: string): Result<never> =>
  fail({ code, message, cure });

/** Signs and words for the counted note; a dot after any of them adds half. */
const NOTE_WORDS: ReadonlyMap<string, 'half' | 'quarter' | 'eighth'> = new Map([
  ['h', 'half'],
  ['half', 'half'],
  ['𝅗𝅥', 'half'],
  ['q', 'quarter'],
  ['quarter', 'quarter'],
  ['♩', 'quarter'],
  ['𝅘𝅥', 'quarter'],
  ['e', 'eighth'],
  ['eighth', 'eighth'],
  ['♪', 'eighth'],
  ['𝅘𝅥𝅮', 'eighth'],
]);

/** "♩ = 170", "q. = 58", "half = 60"; a bare number counts the meter's usual note. */
export function parseTempo(text: string, meter: Meter): Result<Tempo> {
  const [, noteText, dot, number] =
    /^(?:(.+?)\s*(\.?)\s*=\s*)?(\d{1,4}(?:\.\d+)?)$/u.exec(text.trim()) ?? [];
  const note = noteText === undefined ? undefined : NOTE_WORDS.get(noteText.trim().toLowerCase());
  if (number === undefined || (noteText !== undefined && note === undefined)) {
    const cure = 'Write the counted note and the speed, e.g. ♩ = 96 or q. = 58.';
    return refuse('tempo-unreadable', `“${text.trim()}” is not a tempo`, cure);
  }
  const beat: BeatUnit = note ? (dot ? `dotted-${note}` : note) : usualBeatUnit(meter);
  return checkTempo({ bpm: Number(number), beat });
}

/** "4/4", "6/8", "7/8 (3+2+2)", with or without the space. */
export function parseMeter(text: string): Result<Meter> {
  const match = /^(\d{1,3})\/(\d{1,3})\s*(?:\(([\d+\s]+)\))?$/.exec(text.trim());
  const unit = match && ([2, 4, 8, 16] as const).find((u) => u === Number(match[2]));
  if (!match || !unit) {
    const cure = 'Write e.g. 4/4, 6/8 or 7/8 (3+2+2), over 2, 4, 8 or 16.';
    return refuse('meter-unreadable', `“${text.trim()}” is not a meter`, cure);
  }
  const numerator = Number(match[1]);
  const grouping = match[3]
    ? match[3].split('+').map(Number)
    : numerator > 0 && numerator < 100
      ? defaultGrouping(numerator, unit)
      : [numerator];
  return checkMeter({ numerator, unit, grouping });
}

/**
 * "straight", "swing 8 2:1", "swing sixteenths 3:2"; without a ratio 2:1, without a note eighths. "swing:" before it
 * stands for "feel:", so that a note or a ratio alone says it, too.
 */
export function parseFeel(text: string): Result<Feel> {
  const typed = text.trim().toLowerCase();
  if (typed === 'straight') return ok({ kind: 'straight' });
  const match =
    /^(?=.)(?:swing|swung|shuffle)?\s*\b(8|16|eighths|sixteenths)?(?:\s*\b(\d{1,3})\s*:\s*(\d{1,3}))?$/u.exec(
      typed,
    );
  if (!match) {
    const cure = 'Write straight, or e.g. swing 8 2:1 (swung eighths, long to short).';
    return refuse('feel-unreadable', `“${text.trim()}” is not a feel`, cure);
  }
  const value = match[1] === '16' || match[1] === 'sixteenths' ? 16 : 8;
  return checkFeel({
    kind: 'swing',
    value,
    long: Number(match[2] ?? 2),
    short: Number(match[3] ?? 1),
  });
}

/** As `feel:` takes it: "straight", "swing 8 2:1". */
export const printFeel = (feel: Feel): string =>
  feel.kind === 'straight' ? 'straight' : `swing ${feel.value} ${feel.long}:${feel.short}`;

/** How the chart names notes: "german" or "international". */
export function parseNames(text: string): Result<NoteNames> {
  const typed = text.trim().toLowerCase();
  if (['german', 'deutsch'].includes(typed)) return ok('german');
  if (['international', 'english'].includes(typed)) return ok('international');
  return refuse(
    'names-unreadable',
    `“${text.trim()}” is no way to name notes that is known here`,
    'Write names: german (H, B, Fis, Es), or leave the line out.',
  );
}

/** German names of six strings in international ones, e.g. "D A D G H E", "Es As Des Ges B Es" or "Eb Ab Db Gb Bb Eb". */
const tuningFromGerman = (notes: string): string =>
  notes.replace(/[EA]s|[A-H](?:is|es|[#♯♭]|b(?![a-h]))?/giu, (note) =>
    fromNames(note.charAt(0).toUpperCase() + note.slice(1), 'german'),
  );

const tuningInGerman = (notes: string): string =>
  notes.replace(/[A-G](?:#|b)?/gu, (note) => printNote(note, 'german'));

/** A known name, six notes, or "my name = D2 A2 D3 G3 B3 E4". */
export function parseTuning(text: string, names: NoteNames = 'international'): Result<Tuning> {
  const [name, typed] = text.split('=').map((part) => part.trim());
  const known = readTuning(text);
  if (typed === undefined && (names === 'international' || isNamed(known))) return known;
  const notes = names === 'german' ? tuningFromGerman(typed ?? text) : (typed ?? text);
  const read = readTuning(notes);
  if (typed === undefined) return read;
  return read.ok ? ok({ name: name!, strings: read.value.strings }) : read;
}

const isNamed = (read: Result<Tuning>): boolean =>
  read.ok && TUNINGS.some(({ name }) => name === read.value.name);

/** The name alone where it says the notes. */
export function printTuning(tuning: Tuning, names: NoteNames = 'international'): string {
  const known = parseTuning(tuning.name, names);
  const says =
    known.ok &&
    known.value.name === tuning.name &&
    known.value.strings.join() === tuning.strings.join();
  const notes = tuningWithOctaves(tuning);
  return says
    ? tuning.name
    : `${tuning.name} = ${names === 'german' ? tuningInGerman(notes) : notes}`;
}

/** A fret as digits, or "none" for 0; whether the neck has it is checked later. Never throws. */
export function parseCapo(text: string): Result<number> {
  if (/^\d{1,3}$/.test(text.trim())) return ok(Number(text));
  if (text.trim().toLowerCase() === 'none') return ok(0);
  return refuse(
    'capo-unreadable',
    `“${text.trim()}” is not a fret`,
    'Write a number, e.g. capo: 2.',
  );
}

/** "Bm = x24432", after the word "shape". */
export function parseShape(text: string): Result<ChartShape> {
  const [symbol, fretText, ...more] = text.split('=').map((part) => part.trim());
  if (!symbol || !fretText || more.length > 0) {
    const cure = 'Write the chord, = and its frets, e.g. shape Bm = x24432.';
    return refuse('shape-unreadable', `“${text.trim()}” is not a shape`, cure);
  }
  const pin = parsePin(fretText);
  return pin.ok ? ok({ symbol, ...pin.value }) : pin;
}

/** Pinned frets; "!" behind them keeps a shape whose notes are not the chord's. */
export function parsePin(text: string): Result<Omit<ChartShape, 'symbol'>> {
  const kept = text.trim().endsWith('!');
  const frets = parseFrets(kept ? text.trim().slice(0, -1) : text);
  return frets.ok ? ok({ frets: frets.value, ...(kept && { kept }) }) : frets;
}

/** Frets as a chord pins them: "x32010", with "!" where the shape is kept. */
export const printPin = ({ frets, kept }: Omit<ChartShape, 'symbol'>): string =>
  `${printFrets(frets)}${kept ? '!' : ''}`;

/** A shape of the chart as a line of its head: "shape G = 320003". */
export const printShape = ({ symbol, ...pin }: ChartShape): string =>
  `shape ${symbol} = ${printPin(pin)}`;
