// Cures for the lines at the top of a chart: tempo, meter, feel, key, capo, tuning, shapes, band.
import { parseFrets, printFrets } from '../../../fretboard/frets.ts';
import { taughtShapes } from '../../../fretboard/taught.ts';
import { readChord } from '../../../harmony/read.ts';
import { STANDARD, TUNINGS, readTuning, tuningNotes } from '../../../harmony/tunings.ts';
import { degreeOverBass } from './degrees.ts';
import {
  type Replacement,
  type Mend,
  type MistakePlace,
  digitsMeant,
  near,
  wholeLine,
  withoutLine,
} from './cure.ts';

/** Usual speeds of words in quarter notes (from memory: published tables differ widely, so it is a number to begin with). */
const TEMPO_WORDS: readonly (readonly [RegExp, number])[] = [
  [/very slow|largo|lento/iu, 54],
  [/slow|adagio|ballad/iu, 70],
  [/andante|walk|relaxed|easy/iu, 84],
  [/mod|medium|mid/iu, 104],
  [/very fast|presto/iu, 180],
  [/fast|allegro|quick|up|lively|vivace/iu, 132],
];

function tempo({ typed }: MistakePlace): string | Replacement {
  const [, note = ''] = /^(.{1,8}=\s*)/u.exec(typed) ?? [];
  const number = /\d{1,4}(?:\.\d{1,2})?/u.exec(typed.replace(/^.*=/u, ''))?.[0];
  const known = /^(?:[hqe]|half|quarter|eighth|[♩♪])\.?\s*=\s*$/iu.test(note) ? note : '';
  if (number !== undefined)
    return `${known}${digitsMeant(Math.round(Number(number) * 100) / 100, 20, 400)}`;
  const usual = TEMPO_WORDS.find(([word]) => word.test(typed))?.[1] ?? 96;
  // A line left empty gets its value from the colon on.
  return typed === '' || typed.includes(':')
    ? String(usual)
    : { text: String(usual), label: `Begin with ${usual}` };
}

function meter(place: MistakePlace): string | undefined {
  const { typed, line } = place;
  if (/^\s*:?\|/u.test(line) && /\/[1357]$/u.test(typed)) return degreeOverBass(place);
  const [, top, bottom] = /(\d{1,2})\D+(\d{1,2})/u.exec(typed) ?? [];
  if (top && bottom && [2, 4, 8, 16].includes(Number(bottom))) return `${Number(top)}/${bottom}`;
  if (top && bottom) return `${Number(top)}/${nearestUnit(Number(bottom))}`;
  if (/^cut|^¢/iu.test(typed)) return '2/2';
  if (/waltz/iu.test(typed)) return '3/4';
  const alone = /^\s*(\d{1,2})\s*(?:beats?.*|in a bar)?$/u.exec(typed)?.[1];
  return `${alone ?? 4}/4`;
}

/** The last group is the one that was miscounted; where it cannot be, the usual groups hold. */
const grouping: Mend = ({ typed }) => {
  const [, top, groups] = /^\s*(\d{1,2})\/\d+\s*\((.*)\)/u.exec(typed) ?? [];
  const sizes = groups?.split('+').map(Number) ?? [];
  const last = Number(top) - sizes.slice(0, -1).reduce((sum, n) => sum + n, 0);
  return last >= 1 && last <= 4
    ? typed.replace(/\d+\s*\)/u, `${last})`)
    : typed.replace(/\s*\(.*\)/u, '');
};

const nearestUnit = (unit: number): number =>
  [16, 8, 4, 2].toSorted((a, b) => Math.abs(a - unit) - Math.abs(b - unit))[0]!;

/** The word before the colon may say it: "swing: 3:2". */
const feel: Mend = ({ typed, line }) => {
  const swung = /sw|shuffle|triplet/iu.test(line) && !/^(?:no|none|off|0)\b/iu.test(typed);
  if (!swung) return 'straight';
  const ratio = /\d{1,2}\s*:\s*\d{1,2}/u.exec(typed)?.[0].replaceAll(' ', '') ?? '2:1';
  return `swing ${/16|sixteenth/iu.test(typed) ? 16 : 8} ${ratio}`;
};

const ROMAN = ['', 'i', 'ii', 'iii', 'iv', 'v', 'vi', 'vii', 'viii', 'ix', 'x'];

/** Beyond the twelfth fret the same names stand an octave lower; "20" has a nought too many. */
function capo({ typed }: MistakePlace): string | Replacement {
  const digits = /\d{1,3}/u.exec(typed)?.[0];
  const word = typed.trim().toLowerCase().split(/\s+/u)[0]!;
  const fret = digits ? Number(digits) : Math.max(ROMAN.indexOf(word), ORDINALS.indexOf(word), 0);
  if (fret <= 12) return String(fret);
  return String(fret > 24 || fret % 10 === 0 ? digitsMeant(fret, 0, 12) : fret - 12);
}

const ORDINALS = ['open', 'first', 'second', 'third', 'fourth', 'fifth', 'sixth', 'seventh'];

/** Tunings that have a name in the trade but none here: their notes go along (common practice, no source). */
const TRADE_TUNINGS: readonly (readonly [string, string])[] = [
  ['double drop D', 'D A D G B D'],
  ['drop C#', 'C#2 G#2 C#3 F#3 A#3 D#4'],
  ['drop Db', 'C#2 G#2 C#3 F#3 A#3 D#4'],
  ['drop C', 'C2 G2 C3 F3 A3 D4'],
  ['drop B', 'B1 F#2 B2 E3 G#3 C#4'],
  ['open E', 'E2 B2 E3 G#3 B3 E4'],
  ['open A', 'E2 A2 E3 A3 C#4 E4'],
  ['open C', 'C2 G2 C3 G3 C4 E4'],
  ['open D minor', 'D2 A2 D3 F3 A3 D4'],
  ['open G minor', 'D2 G2 D3 G3 A#3 D4'],
  ['C standard', 'C2 F2 A#2 D#3 G3 C4'],
  ['B standard', 'B1 E2 A2 D3 F#3 B3'],
  ['all fourths', 'E2 A2 D3 G3 C4 F4'],
];

/** A tuning by its name or by its notes; of a name that is near none nobody knows which is meant. */
function tuning({ typed }: MistakePlace): string | undefined {
  const plain = typed
    .replace(/\(.*\)/u, '')
    .replace(/\s+(?:tuning|tuned)\s*$/iu, '')
    .replace(/dropped|drop[- ]tuned/iu, 'drop')
    .trim();
  const notes = tuningNotesMeant(typed);
  if (notes !== undefined) return notes;
  const own = TRADE_TUNINGS.find(([name]) => name.toLowerCase() === plain.toLowerCase());
  if (own) return own.join(' = ');
  if (readTuning(plain).ok) return plain;
  if (/^(?:normal|usual|regular|none|no|concert)/iu.test(plain)) return 'standard';
  if (/^(?:e\s*(?:b|♭|flat)|es)\b/iu.test(plain) || /half.*down|1\/2.*down/iu.test(plain))
    return 'half step down';
  if (/^d(?:\s+standard)?$/iu.test(plain) || /(?:whole|full).*down/iu.test(plain))
    return 'whole step down';
  return near(
    plain,
    TUNINGS.map(({ name }) => name),
  );
}

/**
 * Six notes where five to twelve are typed: one left out of a known tuning, one typed twice, the low string of seven,
 * or the pairs of twelve strings. Undefined where it is not known which string is missing or too many.
 */
function tuningNotesMeant(typed: string): string | undefined {
  const inside = /\(([^)]*)\)/u.exec(typed)?.[1] ?? typed;
  const notes = inside.match(/[A-Ga-g](?:#|♯|♭|b(?![a-g]))?\d?/gu) ?? [];
  if (/[^\s,;/-]/u.test(inside.replace(/[A-Ga-g](?:#|♯|♭|b(?![a-g]))?\d?/gu, ''))) return undefined;
  const names = notes.map((note) => note.charAt(0).toUpperCase() + note.slice(1));
  if (names.length === 6) return sixStrings(names);
  const known = TUNINGS.map((one) =>
    tuningNotes(one).replaceAll('♯', '#').replaceAll('♭', 'b').split(' '),
  );
  if (names.length === 5) return known.find((whole) => isWithin(names, whole))?.join(' ');
  if (names.length === 12) return sixStrings(names.filter((_, i) => i % 2 === 0));
  return names.length === 7 ? known.find((whole) => isWithin(whole, names))?.join(' ') : undefined;
}

/** From string 1 to string 6 it is turned round. */
function sixStrings(names: readonly string[]): string | undefined {
  const read = readTuning(names.join(' '));
  if (read.ok) return names.join(' ');
  const turned = names.toReversed().join(' ');
  return readTuning(turned).ok ? turned : undefined;
}

/** Do the parts stand in the whole in their order? */
function isWithin<T>(parts: readonly T[], whole: readonly T[]): boolean {
  let at = 0;
  for (const one of whole) if (one === parts[at]) at++;
  return at === parts.length;
}

/** "10-12-12-11-10-10" and "x,3,2,0,1,0" with dots, "32OOO3" with noughts, "32003" with the string it lacks. */
function frets({ typed, span, line }: MistakePlace): string | Replacement | undefined {
  const noughts = typed.replace(/(?<==.*)[oO]/gu, '0').replace(/(?<=\[.*)[oO]/gu, '0');
  const found = /[xX\d][xX\d\s,.-]{2,}/u.exec(noughts)?.[0];
  const symbol = /^(?:shape\s+)?~?([^\s=[]+)/u.exec(typed)?.[1];
  const parts = found?.trim() ?? '';
  const whole = /[\s,.-]/u.test(parts) ? parts.split(/[\s,.-]+/u).join('.') : parts;
  const meant = parseFrets(whole).ok ? whole : taughtLike(symbol, whole);
  if (found !== undefined && meant !== undefined) {
    const plain = meant.replaceAll('.', '');
    return noughts.replace(parts, plain.length === 6 ? plain : meant);
  }
  // Which string is missing or too many nobody can know: without its shape the chord gets the program's.
  return typed.endsWith(']')
    ? typed.replace(/\[.*$/u, '')
    : { text: '', span: wholeLine(span, line) };
}

/** The taught shape that lacks a string of what is typed, or has one more. */
function taughtLike(symbol: string | undefined, typed: string): string | undefined {
  const chord = symbol === undefined ? undefined : readChord(symbol);
  const signs = [...typed.toLowerCase()];
  if (!chord?.ok || chord.value.kind !== 'chord' || typed.includes('.') || signs.length < 4)
    return undefined;
  return taughtShapes(chord.value, STANDARD)
    .map((shape) => printFrets(shape.frets))
    .find((shape) => isWithin(signs, [...shape]) || isWithin([...shape], signs));
}

const shape: Mend = ({ typed }) =>
  /^\S+\s+[xX\d]/u.test(typed) ? typed.replace(/\s+/u, ' = ') : undefined;

/** "Em7" and "e-moll" name the key of their note; what names none goes. */
function key({ typed, span, line }: MistakePlace): string | Replacement {
  const [, note, minor] = /^\s*([A-Ha-h][#b♯♭]?)\s*-?(m(?!aj)|min|moll)?/u.exec(typed) ?? [];
  if (note === undefined) return { text: '', span: wholeLine(span, line) };
  const tonic = `${note.charAt(0).toUpperCase()}${note.slice(1)}`.replace(/^H/u, 'B');
  return `${tonic}${minor ? ' minor' : ''}`;
}

/** What people say of a band, beside the words that it has. */
const BAND_TALK: ReadonlyMap<string, string> = new Map([
  ['quiet', 'soft'],
  ['piano', 'soft'],
  ['low', 'soft'],
  ['normal', 'medium'],
  ['forte', 'loud'],
  ['none', 'off'],
  ['no', 'off'],
  ['root', 'roots'],
  ['simple', 'roots'],
  ['walk', 'walking'],
  ['rock', 'kit'],
  ['pop', 'kit'],
  ['jazz', 'brushes'],
]);

/** "on" is the word that stands there when nothing is said. */
const USUAL_BAND = ['kit', 'fifths', 'medium'];

function band({ typed, cure }: MistakePlace): string | undefined {
  const words = cure
    .replace(/^Write one of |\.$/gu, '')
    .split(', ')
    .filter((word) => word !== '');
  const said = BAND_TALK.get(typed.trim().toLowerCase());
  if (said !== undefined && words.includes(said)) return said;
  if (/^(?:on|yes|full|loud|soft)$/iu.test(typed.trim()))
    return words.find((word) => USUAL_BAND.includes(word));
  return near(typed, words);
}

/** The words for no line at all where it stands behind nothing but its colon. */
const title: Mend = ({ line }) =>
  /^\s*title\s*:/iu.test(line)
    ? 'New chart'
    : { text: 'title: New chart\n', span: { line: 1, column: 1, length: 0 } };

export const HEAD_CURES: readonly (readonly [string, Mend])[] = [
  ['tempo-unreadable', tempo],
  ['tempo-range', tempo],
  ['tempo-decimals', tempo],
  ['meter-unreadable', meter],
  ['meter-grouping', grouping],
  ['feel-unreadable', feel],
  ['feel-ratio', () => 'swing 8 2:1'],
  ['capo-unreadable', capo],
  ['capo-range', capo],
  ['tuning-unreadable', tuning],
  ['tuning-out-of-range', tuning],
  ['tuning-turned', tuning],
  ['shape-unreadable', shape],
  ['shape-strings', frets],
  ['shape-fret', frets],
  ['shape-silent', frets],
  ['shape-twice', withoutLine],
  ['key-unreadable', key],
  ['names-unreadable', withoutLine],
  ['band-word', band],
  ['chart-title', title],
];
