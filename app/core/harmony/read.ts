// Reads a chord symbol as guitarists write it, and offers the nearest readable one when it cannot.
import { Remembered } from '../base/remembered.ts';
import { MAX_SYMBOL } from '../model/limits.ts';
import { Interval, Note } from 'tonal';
import { fail, ok } from '../base/result.ts';
import type { Problem, Result } from '../base/result.ts';
import type {
  Chord,
  ChordTone,
  NoChord,
  NoteName,
  NoteNames,
  SoundingChord,
} from '../model/chord.ts';
import { nearestSymbol } from './nearest.ts';
import { pitchClassOf, toAscii } from './notes.ts';
import { intervalLabel } from './omission.ts';
import { pcSet } from './pc-set.ts';
import { type SymbolParts, symbolFrom } from './print.ts';
import { readQuality } from './quality.ts';
import type { Quality } from './vocabulary.ts';

/** "N.C.", however it is written. */
const SILENCE = /^(?:n[./\s-]*c\.?|no[\s-]*chords?|tacet)$/i;

/** Letters as they are typed, and the note; `small` is a small letter, which may stand for a minor chord. */
interface Head {
  readonly root: NoteName;
  readonly rest: string;
  readonly small: boolean;
}

const ACCIDENTALS = '##|bb(?!5)|#|b';
const ROOT = new RegExp(`^([A-Ga-g])(${ACCIDENTALS})?(.*)$`);
const SLASH_BASS =
  /^(.*?)(?:\/\s*|\|?on(?=[A-G][#b]*$))([A-Ga-g](?:##|bb|#|b)?|[A-Ha-h](?:is|es|s)?)$/;

/** German names of notes: H is our B, B our B flat; "is" raises and "es" lowers. The longer ones first. */
const GERMAN = /^([A-Ha-h])(isis|eses|is|es|s|##|bb|#|b)?(.*)$/;

const capital = (note: string): string => note.charAt(0).toUpperCase() + note.slice(1);

function internationalHead(symbol: string): Head[] {
  const [, letter, sign = '', rest] = ROOT.exec(symbol) ?? [];
  if (letter === undefined || rest === undefined) return [];
  return [{ root: letter.toUpperCase() + sign, rest, small: letter !== letter.toUpperCase() }];
}

/** Every way to part a German symbol, the longest name of a note first: "Es" before "E" and "s…". */
function germanHeads(symbol: string): Head[] {
  const [, letter, sign = '', rest] = GERMAN.exec(symbol) ?? [];
  if (letter === undefined || rest === undefined) return [];
  const small = letter !== letter.toUpperCase();
  const whole = germanNote(letter, sign);
  const bare = germanNote(letter, '');
  return [
    ...(whole ? [{ root: whole, rest, small }] : []),
    ...(sign && bare ? [{ root: bare, rest: sign + rest, small }] : []),
  ];
}

function germanNote(letter: string, sign: string): NoteName | undefined {
  const upper = letter.toUpperCase();
  if (sign === 's') return upper === 'E' || upper === 'A' ? `${upper}b` : undefined;
  if (sign === 'es' && (upper === 'E' || upper === 'A')) return undefined;
  if (upper === 'B') return sign === 'es' ? 'Bbb' : sign === '' || sign === 'b' ? 'Bb' : undefined;
  const ascii = sign.replace(/is/g, '#').replace(/es/g, 'b');
  return (upper === 'H' ? 'B' : upper) + ascii;
}

/** Signs after which a small letter can only be the root of that chord, not the custom of small letters for minor. */
const SAYS_ITS_THIRD = /^(?:m|M|-(?!5)|sus|dim|aug|[°º˚○◦øØ⌀Δ△▲]|5$)/;

/** "min." and "maj." with the full stop of an abbreviation. */
const ABBREVIATED = /(mi|ma|min|maj|dom|dim|aug|sus|add|alt)\./gi;

/** A symbol cut in three; `suffix` is as typed in ASCII. Undefined without the name of a note. */
export function splitSymbol(
  symbol: string,
  names: NoteNames = 'international',
): SymbolParts | undefined {
  const ascii = toAscii(symbol.trim()).replace(ABBREVIATED, '$1');
  const heads = names === 'german' ? germanHeads(ascii) : internationalHead(ascii);
  const cut = heads.flatMap((head) => cutHead(head, names) ?? []);
  return cut.find(({ suffix }) => readQuality(suffix)) ?? cut[0];
}

function cutHead({ root, rest, small }: Head, names: NoteNames) {
  const slash = SLASH_BASS.exec(rest);
  const bass = slash && bassNamed(slash[2]!, names);
  const typed = slash && bass ? slash[1]! : rest;
  if (small && names === 'international' && !SAYS_ITS_THIRD.test(typed)) return undefined;
  const minor = small && names === 'german' && !SAYS_ITS_THIRD.test(typed);
  const suffix = minor ? `m${typed}` : typed;
  return bass ? { root, suffix, bass } : { root, suffix };
}

function bassNamed(typed: string, names: NoteNames): NoteName | undefined {
  if (names === 'german') {
    const head = germanHeads(typed)[0];
    return head?.rest === '' ? head.root : undefined;
  }
  return /^[A-Ga-g](?:##|bb|#|b)?$/.test(typed) ? capital(typed) : undefined;
}

function toneOf(root: NoteName, interval: string): ChordTone {
  const note = Note.transpose(root, interval);
  return {
    interval,
    label: intervalLabel(interval),
    semitones: Interval.semitones(interval),
    note,
    pitchClass: pitchClassOf(note),
  };
}

type ReadableChord = SoundingChord | NoChord;

const known = new Remembered<string, Result<ReadableChord>>(4000);

function readFresh(symbol: string, names: NoteNames): ReadableChord | null {
  if (SILENCE.test(symbol.trim())) return Object.freeze({ kind: 'silence', symbol });
  const parts = splitSymbol(symbol, names);
  const quality = parts && readQuality(parts.suffix);
  if (!parts || !quality) return null;
  return Object.freeze(build(symbol, parts, quality));
}

function build(
  symbol: string,
  { root, suffix, bass = root }: SymbolParts,
  { name, intervals }: Quality,
): SoundingChord {
  const tones = intervals.map((interval) => toneOf(root, interval));
  const bassPc = pitchClassOf(bass);
  const sounding = pcSet([...tones.map((t) => t.pitchClass), bassPc]);
  return {
    kind: 'chord',
    symbol,
    root,
    rootPc: pitchClassOf(root),
    suffix,
    quality: name,
    tones,
    bass,
    bassPc,
    pitchClasses: Array.from({ length: 12 }, (_, pc) => pc).filter((pc) => (sounding >> pc) & 1),
  };
}

/**
 * Root, quality, tones and bass of a typed chord symbol; "N.C." is silence. ASCII and typographic
 * signs are equal (F#, F♯). The result is frozen and shared between calls.
 *
 * Fails with `chord-unreadable` and the nearest readable symbol in the cure.
 */
export function readChord(
  symbol: string,
  names: NoteNames = 'international',
): Result<ReadableChord> {
  if (symbol.length > MAX_SYMBOL) return fail(tooLong(symbol));
  const key = names === 'german' ? `german ${symbol}` : symbol;
  return known.of(key, () => {
    const chord = readFresh(symbol, names);
    return Object.freeze(chord ? ok(chord) : fail(Object.freeze(unreadable(symbol, names))));
  });
}

/** As {@link readChord} for whoever must go on: what cannot be read is carried with what is wrong with it. */
export function chordOf(symbol: string, names: NoteNames = 'international'): Chord {
  const read = readChord(symbol, names);
  return read.ok ? read.value : { kind: 'unread', symbol, problem: read.problems[0]! };
}

const tooLong = (symbol: string): Problem => ({
  code: 'chord-unreadable',
  message: `‘${symbol.slice(0, 24)} …’ is not a chord this program can read: it has ${symbol.length} characters.`,
  cure: `Type a chord such as Am7, of at most ${MAX_SYMBOL} characters.`,
});

/** "H…" and "B…" by our letters, so that the nearest symbol can be looked for among ours. */
const germanLettersPut = (symbol: string): string =>
  symbol.replace(/^\s*(?:h(?!es)|b(?!b|es))/i, (letter) => (/h/i.test(letter) ? 'B' : 'Bb'));

function symbolInGerman(symbol: string): string {
  const parts = splitSymbol(symbol);
  if (!parts) return symbol;
  return symbolFrom(parts, 'german');
}

function unreadable(symbol: string, names: NoteNames): Problem {
  if (symbol.trim() === '') {
    return {
      code: 'chord-unreadable',
      message: 'A chord symbol is empty.',
      cure: 'Type a chord such as Am7, or N.C. for silence.',
    };
  }
  const ours = names === 'german' ? germanLettersPut(symbol) : symbol;
  const found = nearestSymbol(ours, (s) => readFresh(s, 'international') !== null);
  const near = names === 'german' ? symbolInGerman(found) : found;
  return {
    code: 'chord-unreadable',
    message: `‘${symbol}’ is not a chord this program can read.`,
    cure: `Did you mean ${near}?`,
  };
}
