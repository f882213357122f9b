// Cures that can be carried out, for mistakes that are known by their code and by what is typed there.
import type { Problem, Remedy, TextSpan } from '../../base/result.ts';
import { parseFrets } from '../../fretboard/frets.ts';
import { readKey } from '../../harmony/key.ts';
import { editDistance } from '../../harmony/nearest.ts';
import { transposeSymbol } from '../../harmony/transpose.ts';
import { TUNINGS } from '../../harmony/tunings.ts';

/** What stands where instead; an own span where it is not all of the mistake's. */
interface Change {
  readonly text: string;
  readonly span?: TextSpan;
}

/** What a cure may look at. */
interface Place {
  readonly typed: string;
  readonly span: TextSpan;
  readonly cure: string;
  /** The whole line. */
  readonly line: string;
  readonly key: string | undefined;
}

type Mend = (place: Place) => string | Change | undefined;

/** The problems with their cures, where one is known and none is there yet. */
export function withRemedies(text: string, problems: readonly Problem[]): readonly Problem[] {
  if (problems.length === 0) return problems;
  const lines = text.split(/\r\n|\n|\r/);
  const key = /^\s*key\s*:\s*(.+?)\s*$/imu.exec(text)?.[1];
  return problems.map((problem) => {
    const { code, span, cure, remedy } = problem;
    const mend = span && !remedy ? MENDS.get(code) : undefined;
    if (!span || !mend) return problem;
    const line = lines[span.line - 1] ?? '';
    const typed = line.slice(span.column - 1, span.column - 1 + span.length);
    const change = mend({ typed, span, cure, line, key });
    return change === undefined ? problem : { ...problem, remedy: remedyOf(change, span) };
  });
}

function remedyOf(change: string | Change, span: TextSpan): Remedy {
  const { text, span: own = span } = typeof change === 'string' ? { text: change } : change;
  const label = text.trim() === '' ? 'Take it out' : `Write “${text.trim()}”`;
  return { label, edits: [{ ...own, text }] };
}

const endOf = ({ line, column, length }: TextSpan): TextSpan => ({
  line,
  column: column + length,
  length: 0,
});
const clamp = (n: number, least: number, most: number): number =>
  Math.min(most, Math.max(least, n));
const near = (word: string, known: readonly string[]): string | undefined =>
  known.toSorted((a, b) => distance(word, a) - distance(word, b))[0];
const distance = (a: string, b: string): number =>
  editDistance(a.toLowerCase().slice(0, 30), b.toLowerCase());

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
  const alone = /^\s*(\d{1,2})\s*$/u.exec(typed)?.[1];
  return `${alone ?? 4}/4`;
}

const nearestUnit = (unit: number): number =>
  [16, 8, 4, 2].toSorted((a, b) => Math.abs(a - unit) - Math.abs(b - unit))[0]!;

function capo({ typed }: Place): string {
  const number = /\d{1,2}/u.exec(typed)?.[0];
  const roman = ['', 'i', 'ii', 'iii', 'iv', 'v', 'vi', 'vii', 'viii', 'ix', 'x'];
  return `${number ? clamp(Number(number), 0, 12) : Math.max(0, roman.indexOf(typed.trim().toLowerCase()))}`;
}

/** "10-12-12-11-10-10" and "x,3,2,0,1,0" with dots. */
function frets({ typed, span, line }: Place): string | Change | undefined {
  const found = /[xX\d][xX\d\s,.-]{4,}/u.exec(typed)?.[0];
  // Which string is missing or too many nobody can know: without its shape the chord gets the program's.
  const without = typed.endsWith(']')
    ? typed.replace(/\[.*$/u, '')
    : { text: '', span: wholeLine(span, line) };
  if (!found) return without;
  const dotted = found
    .trim()
    .split(/[\s,.-]+/u)
    .join('.');
  if (!parseFrets(dotted).ok) return without;
  const plain = dotted.replaceAll('.', '');
  return typed.replace(found.trim(), plain.length === 6 ? plain : dotted);
}

const wholeLine = ({ line }: TextSpan, text: string): TextSpan => ({
  line,
  column: 1,
  length: text.length,
});

/** Words of the notation that a slip of two signs may hide. */
const WORDS = ['fermata', 'pickup'];
const wordMeant = (sign: string): string | undefined =>
  WORDS.find((word) => sign.toLowerCase() !== word && editDistance(sign.toLowerCase(), word) <= 2);

/** "| G | D | x2", "| G | D | (2x)", ":| x 3": a repeat with its count behind it. */
function repeated({ line, span }: Place): Change | undefined {
  const [, bars, after, before] =
    /^(.*?\|)\s*\(?\s*(?:[x×]\s*(\d{1,2})|(\d{1,2})\s*[x×])\s*\)?\s*\|?\s*$/iu.exec(line) ?? [];
  if (bars === undefined) return undefined;
  const inner = bars
    .trim()
    .replace(/^:?\|+:?|:?\|+$/gu, '')
    .trim();
  const times = clamp(Number(after ?? before), 2, 32);
  return {
    text: `|: ${inner} :|${times > 2 ? ` x${times}` : ''}`,
    span: wholeLine(span, line),
  };
}

function beats({ typed, cure }: Place): string | undefined {
  const slip = typed.split(/\s+/u).find((sign) => wordMeant(sign));
  if (slip !== undefined) return typed.replace(slip, wordMeant(slip)!);
  const alone = /^\(\s*(\S+)\s*\)$/u.exec(typed)?.[1];
  if (alone !== undefined) return alone;
  const wanted = Number(/Write (\d+)/u.exec(cure)?.[1] ?? 0);
  const signs = typed.split(/\s+/u).filter((sign) => sign !== '');
  const marks = signs.filter((sign) => /^(?:\d+\/\d+|pickup|rit|accel|"|\{)/iu.test(sign));
  if (wanted === 0 || marks.length > 0 || /[({"]/u.test(typed)) return undefined;
  const fill = (part: readonly string[]): string =>
    [...part, ...Array.from({ length: Math.max(0, wanted - part.length) }, () => '/')].join(' ');
  if (signs.length <= wanted) return fill(signs);
  const bars: string[] = [];
  for (let i = 0; i < signs.length; i += wanted) bars.push(fill(signs.slice(i, i + wanted)));
  return bars.join(' | ');
}

const DEGREES = ['I', 'II', 'III', 'IV', 'V', 'VI', 'VII'];
const STEPS = { major: [0, 2, 4, 5, 7, 9, 11], minor: [0, 2, 3, 5, 7, 8, 10] } as const;

/** "4", "6-", "ii": degrees of the key; "R" is a rest. */
function sign(place: Place): string | Change | undefined {
  const { typed, key, line, span } = place;
  if (/^r$/iu.test(typed)) return 'N.C.';
  if (wordMeant(typed)) return wordMeant(typed);
  if (
    /^\d{2,3}$/u.test(typed) &&
    /(?:rit|rall|accel)\.?\s*$/iu.test(line.slice(0, span.column - 1))
  )
    return `= ${typed}`;
  const counted = /^(?:[x×]\d{0,2}|\d{1,2}[x×]?)$/iu.test(typed) ? repeated(place) : undefined;
  if (counted) return counted;
  const [, degree, minor] = /^([1-7]|[IViv]{1,3})(m|-)?$/u.exec(typed) ?? [];
  const home = key === undefined ? undefined : readKey(key);
  if (!degree || !home?.ok) return degree ? undefined : '/';
  const index = /\d/u.test(degree) ? Number(degree) - 1 : DEGREES.indexOf(degree.toUpperCase());
  const mode = home.value.mode === 'minor' ? 'minor' : 'major';
  const small = minor !== undefined || (/^[iv]+$/u.test(degree) && index >= 0);
  const usual = mode === 'major' ? [1, 2, 5].includes(index) : [0, 3, 4].includes(index);
  const quality = small || (/\d/u.test(degree) && usual) ? 'm' : '';
  const moved = transposeSymbol(
    `${home.value.tonic}${quality}`,
    STEPS[mode][index] ?? 0,
    home.value,
  );
  return moved.ok ? moved.value : undefined;
}

const suggested = ({ typed, cure }: Place): string | undefined => {
  const better = /Did you mean ‘?(.+?)’?\?$/u.exec(cure)?.[1];
  return better === undefined ? undefined : typed.replace(/^(~?)[^\s["“]+/u, `$1${better}`);
};

/** "Em7" and "e-moll" name the key of their note. */
function key({ typed }: Place): string | undefined {
  const [, note, minor] = /^\s*([A-Ga-g][#b♯♭]?)\s*-?(m(?!aj)|min|moll)?/u.exec(typed) ?? [];
  if (note === undefined) return undefined;
  return `${note.charAt(0).toUpperCase()}${note.slice(1)}${minor ? ' minor' : ''}`;
}

/** "2x Verse", "Verse - Chorus", or a section that is not there. */
function entry(place: Place): string | Change | undefined {
  const { typed, span, line } = place;
  const [, times, name] = /^(\d{1,2})\s*[x×]\s*(\S.*)$/iu.exec(typed) ?? [];
  if (name) return `${name} x${times}`;
  const parts = typed.split(/\s*(?:\s[-–—+/]\s|[>→;]+)\s*/u).filter((part) => part !== '');
  if (parts.length > 1) return parts.join(', ');
  const better = suggested(place);
  if (better !== undefined) return better;
  const comma = /,\s*$/u.exec(line.slice(0, span.column - 1))?.[0].length ?? 0;
  return {
    text: '',
    span: { ...span, column: span.column - comma, length: span.length + comma },
  };
}

const MENDS: ReadonlyMap<string, Mend> = new Map<string, Mend>([
  ['tempo-unreadable', tempo],
  ['tempo-range', tempo],
  ['tempo-decimals', tempo],
  ['meter-unreadable', meter],
  ['meter-grouping', ({ typed }) => typed.replace(/\s*\(.*\)/u, '')],
  [
    'feel-unreadable',
    ({ typed }) =>
      /sw|shuffle|triplet/iu.test(typed)
        ? `swing ${/16|sixteenth/iu.test(typed) ? 16 : 8} 2:1`
        : 'straight',
  ],
  ['feel-ratio', () => 'swing 8 2:1'],
  ['capo-unreadable', capo],
  ['capo-range', capo],
  [
    'tuning-unreadable',
    ({ typed }) =>
      near(
        typed.replace(/dropped|drop[- ]tuned/iu, 'drop'),
        TUNINGS.map(({ name }) => name),
      ),
  ],
  [
    'shape-unreadable',
    ({ typed }) => (/^\S+\s+[xX\d]/u.test(typed) ? typed.replace(/\s+/u, ' = ') : undefined),
  ],
  ['shape-strings', frets],
  ['shape-fret', frets],
  ['bar-beats', beats],
  ['bar-empty', ({ span }) => ({ text: ' / ', span: { ...span, length: 0 } })],
  ['beats-glued', ({ typed }) => typed.replace(/([/.]+)$/u, ' $1')],
  ['split-open', ({ span }) => ({ text: ')', span: endOf(span) })],
  ['split-empty', (place) => repeated(place) ?? '/'],
  ['repeat-stray', repeated],
  ['chord-signs', ({ typed }) => typed.replace(/[,;.:]+$/u, '') || undefined],
  ['key-unreadable', key],
  ['words-beat', ({ typed }) => typed.replace(/@\S+\s*/u, '')],
  ['line-bar', ({ typed }) => typed.replace(/\d+(?!.*\d)/u, '1')],
  ['strum-open', ({ span }) => ({ text: '}', span: endOf(span) })],
  ['remark-open', ({ span }) => ({ text: '"', span: endOf(span) })],
  ['sign-unreadable', sign],
  ['chord-unreadable', suggested],
  ['simile-first', ({ typed }) => typed.replace(/[%𝄎]/u, '/')],
  [
    'repeat-open',
    ({ span, line }) => ({
      text: ':|',
      span: {
        line: span.line,
        column: line.trimEnd().length,
        length: line.trimEnd().endsWith('|') ? 1 : 0,
      },
    }),
  ],
  ['strum-grid', ({ typed }) => `eighths ${typed.replace(/^\p{L}{3,}\s*/u, '')}`],
  [
    'strum-sign',
    ({ typed }) =>
      typed.replace(/^(\{?\s*\p{L}{6,})|[^DdUurRxm>.\-\s{}]|(?<=[-\s])\./gu, (sign, word) =>
        word ? sign : sign === '.' ? '-' : '',
      ),
  ],
  ['form-section', entry],
  [
    'form-times',
    ({ typed }) => typed.replace(/\d+(?!.*\d)/u, (n) => String(clamp(Number(n), 1, 32))),
  ],
  ['section-twice', ({ typed }) => `${typed} again`],
  [
    'section-bars',
    ({ span, line }) => ({
      text: '\n| G |',
      span: { line: span.line, column: line.length + 1, length: 0 },
    }),
  ],
  ['chart-title', () => ({ text: 'title: New chart\n', span: { line: 1, column: 1, length: 0 } })],
]);
