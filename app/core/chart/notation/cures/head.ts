// Cures for the lines at the top of a chart: tempo, meter, feel, key, capo, tuning, shapes, band.
import { parseFrets } from '../../../fretboard/frets.ts';
import { TUNINGS } from '../../../harmony/tunings.ts';
import { type Change, type Mend, type Place, clamp, near, wholeLine, withoutLine } from './cure.ts';

function tempo({ typed }: Place): string {
  const [, note = ''] = /^(.{1,8}=\s*)/u.exec(typed) ?? [];
  const number = /\d{1,4}(?:\.\d{1,2})?/u.exec(typed.replace(/^.*=/u, ''))?.[0];
  const known = /^(?:[hqe]|half|quarter|eighth|[♩♪])\.?\s*=\s*$/iu.test(note) ? note : '';
  return `${known}${number === undefined ? 96 : clamp(Math.round(Number(number) * 100) / 100, 20, 400)}`;
}

function meter({ typed }: Place): string {
  const [, top, bottom] = /(\d{1,2})\D+(\d{1,2})/u.exec(typed) ?? [];
  if (top && bottom && [2, 4, 8, 16].includes(Number(bottom))) return `${Number(top)}/${bottom}`;
  if (top && bottom) return `${Number(top)}/${nearestUnit(Number(bottom))}`;
  if (/^cut|^¢/iu.test(typed)) return '2/2';
  if (/waltz/iu.test(typed)) return '3/4';
  const alone = /^\s*(\d{1,2})\s*$/u.exec(typed)?.[1];
  return `${alone ?? 4}/4`;
}

const nearestUnit = (unit: number): number =>
  [16, 8, 4, 2].toSorted((a, b) => Math.abs(a - unit) - Math.abs(b - unit))[0]!;

const feel: Mend = ({ typed }) =>
  /sw|shuffle|triplet/iu.test(typed)
    ? `swing ${/16|sixteenth/iu.test(typed) ? 16 : 8} 2:1`
    : 'straight';

const ROMAN = ['', 'i', 'ii', 'iii', 'iv', 'v', 'vi', 'vii', 'viii', 'ix', 'x'];

function capo({ typed }: Place): string {
  const number = /\d{1,2}/u.exec(typed)?.[0];
  return `${number ? clamp(Number(number), 0, 12) : Math.max(0, ROMAN.indexOf(typed.trim().toLowerCase()))}`;
}

/** A tuning by its nearest name; of too many or too few notes nobody knows which is meant. */
function tuning({ typed }: Place): string | undefined {
  if (/^[A-H][#b♯♭]?\d?(?:[\s,-]+[A-H][#b♯♭]?\d?)+$/iu.test(typed.trim())) return 'standard';
  if (/^(?:e\s*(?:b|♭|flat)|es)\b/iu.test(typed)) return 'half step down';
  if (/^d(?:\s+(?:standard|tuning))?$/iu.test(typed.trim())) return 'whole step down';
  const names = TUNINGS.map(({ name }) => name);
  return near(typed.replace(/dropped|drop[- ]tuned/iu, 'drop'), names);
}

/** "10-12-12-11-10-10" and "x,3,2,0,1,0" with dots, "32OOO3" with noughts. */
function frets({ typed, span, line }: Place): string | Change | undefined {
  const noughts = typed.replace(/(?<==.*)[oO]/gu, '0').replace(/(?<=\[.*)[oO]/gu, '0');
  const found = /[xX\d][xX\d\s,.-]{4,}/u.exec(noughts)?.[0];
  // Which string is missing or too many nobody can know: without its shape the chord gets the program's.
  const without = typed.endsWith(']')
    ? typed.replace(/\[.*$/u, '')
    : { text: '', span: wholeLine(span, line) };
  if (!found) return without;
  const parts = found.trim();
  const whole = /[\s,.-]/u.test(parts) ? parts.split(/[\s,.-]+/u).join('.') : parts;
  if (!parseFrets(whole).ok) return without;
  const plain = whole.replaceAll('.', '');
  return noughts.replace(parts, plain.length === 6 ? plain : whole);
}

const shape: Mend = ({ typed }) =>
  /^\S+\s+[xX\d]/u.test(typed) ? typed.replace(/\s+/u, ' = ') : undefined;

/** "Em7" and "e-moll" name the key of their note; what names none goes. */
function key({ typed, span, line }: Place): string | Change {
  const [, note, minor] = /^\s*([A-Ha-h][#b♯♭]?)\s*-?(m(?!aj)|min|moll)?/u.exec(typed) ?? [];
  if (note === undefined) return { text: '', span: wholeLine(span, line) };
  const tonic = `${note.charAt(0).toUpperCase()}${note.slice(1)}`.replace(/^H$/u, 'B');
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
]);

/** "on" is the word that stands there when nothing is said. */
const USUAL_BAND = ['kit', 'fifths', 'medium'];

function band({ typed, cure }: Place): string | undefined {
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
  ['meter-grouping', ({ typed }) => typed.replace(/\s*\(.*\)/u, '')],
  ['feel-unreadable', feel],
  ['feel-ratio', () => 'swing 8 2:1'],
  ['capo-unreadable', capo],
  ['capo-range', capo],
  ['tuning-unreadable', tuning],
  ['tuning-out-of-range', () => 'standard'],
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
