// Cures for bars: beats that do not add up, signs that are none, repeats and endings, chords that cannot be read.
import { nameNotes } from '../../../harmony/naming.ts';
import { readKey } from '../../../harmony/key.ts';
import { readChord } from '../../../harmony/read.ts';
import { transposeSymbol } from '../../../harmony/transpose.ts';
import { parseFrets } from '../../../fretboard/frets.ts';
import type { TextSpan } from '../../../base/result.ts';
import { pitchesOf } from '../../../fretboard/capo.ts';
import { soundingPitches } from '../../../fretboard/shape.ts';
import { STANDARD, namedStrings, readTuning } from '../../../harmony/tunings.ts';
import { tradeWord } from './trade-words.ts';
import {
  type Change,
  type Mend,
  type Place,
  clamp,
  endOf,
  fieldOf,
  lineEnd,
  suggested,
  wholeLine,
} from './cure.ts';

/** "| G | D | x2", "| G | D | (2x)", ":| x 3": a repeat with its count behind it. */
function repeated({ line, span }: Pick<Place, 'line' | 'span'>): Change | undefined {
  const [, bars, after, before] =
    /^(.*?\|)\s*\(?\s*(?:[x×]\s*(\d{1,2})|(\d{1,2})\s*[x×])\s*(?:times)?\s*\)?\s*\|?\s*$/iu.exec(
      line,
    ) ?? [];
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
  const slip = typed.split(/\s+/u).find((sign) => tradeWord(sign));
  if (slip !== undefined) return typed.replace(slip, tradeWord(slip)!);
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
function sign(place: Place): string | Change | readonly Change[] | undefined {
  const { typed, span, line } = place;
  const before = line.slice(0, span.column - 1);
  if (/^r$/iu.test(typed)) return 'N.C.';
  const word = tradeWord(typed);
  if (word !== undefined) return word;
  if (/^\d{2,3}$/u.test(typed) && /(?:rit|rall|accel)\.?\s*$/iu.test(before)) return `= ${typed}`;
  if (/^\d{1,2}$/u.test(typed) && /fermata\s*$/iu.test(before)) return `+${typed}`;
  const ends = endingsOf(place);
  if (ends) return ends;
  const joined = joinedTo(before, place);
  if (joined) return joined;
  const counted = /^(?:[x×]\d{0,2}|\d{1,2}[x×]?)$/iu.test(typed) ? repeated(place) : undefined;
  return counted ?? (/^[,;:]+$/u.test(typed) ? '' : degree(place));
}

/** "|1 D :|2 G |": endings without their points. */
function endingsOf({ typed, line, span }: Place): readonly Change[] | undefined {
  const marks = [...line.matchAll(/(?<=\|)\d{1,2}(?=\s+[^\s|])/gu)];
  const isOne = marks.some(({ 0: mark, index }) => index + 1 === span.column && mark === typed);
  if (!isOne || !line.includes(':|')) return undefined;
  return marks.map(({ 0: mark, index }) => ({
    text: `${mark}.`,
    span: { line: span.line, column: index + 1, length: mark.length },
  }));
}

/** Signs that belong to the chord before them: "A minor", "C sharp", "D /F#", "~ G". */
function joinedTo(before: string, { typed, span, line }: Place): Change | undefined {
  if (typed === '~') {
    const [slide] = /^~\s+[^\s|]+/u.exec(line.slice(span.column - 1)) ?? [];
    return slide === undefined
      ? undefined
      : { text: slide.replace(/\s+/u, ''), span: { ...span, length: slide.length } };
  }
  const isBass = /^\/[A-H][#b♯♭]?$/u.test(typed);
  const tail = isBass ? typed : SUFFIXES.get(typed.toLowerCase());
  return tail === undefined ? undefined : behindChord(before, tail, span);
}

/** The chord that stands before, with what belongs to it; undefined where none does. */
function behindChord(before: string, tail: string, span: TextSpan): Change | undefined {
  const [whole, name] = /(?<=^|[\s|])(~?[A-H][^\s|]*)\s+$/u.exec(before) ?? [];
  if (whole === undefined) return undefined;
  const { line, column, length } = span;
  const from = column - whole.length;
  return { text: `${name}${tail}`, span: { line, column: from, length: whole.length + length } };
}

const SUFFIXES: ReadonlyMap<string, string> = new Map([
  ['minor', 'm'],
  ['min', 'm'],
  ['moll', 'm'],
  ['major', ''],
  ['maj', ''],
  ['dur', ''],
  ['sharp', '#'],
  ['flat', 'b'],
]);

function degree({ typed, lines }: Place): string | undefined {
  const [, number, minor] = /^([1-7]|[IViv]{1,3})(m|-)?$/u.exec(typed) ?? [];
  const key = fieldOf(lines, 'key');
  const home = key === undefined ? undefined : readKey(key);
  if (!number || !home?.ok) return number ? undefined : '/';
  const index = /\d/u.test(number) ? Number(number) - 1 : DEGREES.indexOf(number.toUpperCase());
  const mode = home.value.mode === 'minor' ? 'minor' : 'major';
  const small = minor !== undefined || (/^[iv]+$/u.test(number) && index >= 0);
  const usual = mode === 'major' ? [1, 2, 5].includes(index) : [0, 3, 4].includes(index);
  const quality = small || (/\d/u.test(number) && usual) ? 'm' : '';
  const moved = transposeSymbol(
    `${home.value.tonic}${quality}`,
    STEPS[mode][index] ?? 0,
    home.value,
  );
  return moved.ok ? moved.value : undefined;
}

/** "G(320003)" is a shape behind its chord; "G-D" are two chords. */
function chord(place: Place): string | undefined {
  const { typed } = place;
  const [, symbol, shape] = /^(~?[^\s()]+)\(([xX\d.]+)\)$/u.exec(typed) ?? [];
  if (symbol && shape && parseFrets(shape).ok) return `${symbol}[${shape}]`;
  const two = typed.split(/[-–—_>→]+/u);
  if (two.length > 1 && two.every((one) => readChord(one).ok)) return two.join(' ');
  return suggested(place);
}

/** Frets alone: named by what sounds, spelled in the key; those behind a space belong to the chord before. */
function shape({ typed, span, line, lines }: Place): string | Change | undefined {
  const before = line.slice(0, span.column - 1);
  const joined = typed.startsWith('[') ? behindChord(before, typed, span) : undefined;
  if (joined) return joined;
  const frets = parseFrets(typed.replace(/^\[|\]$/gu, ''));
  if (!frets.ok) return '/';
  const key = readKey(fieldOf(lines, 'key') ?? '');
  const tuning = readTuning(fieldOf(lines, 'tuning') ?? '');
  const open = namedStrings(tuning.ok ? tuning.value : STANDARD);
  const named = nameNotes(
    soundingPitches(pitchesOf(frets.value, open)),
    key.ok ? key.value : undefined,
  );
  return named.ok ? `${named.value[0]!.symbol}[${typed.replace(/^\[|\]$/gu, '')}]` : '/';
}

const BRACKETS: Mend = ({ typed }) => {
  const plain = typed.replace(/[,;.:]+$/u, '');
  const open = [...plain].filter((one) => one === '(').length;
  const closed = [...plain].filter((one) => one === ')').length;
  const whole = open > closed ? plain + ')'.repeat(open - closed) : plain.replace(/\)+$/u, '');
  return (whole === typed ? plain.replace(/[^\p{L}\d#♯♭+°/-]/gu, '') : whole) || undefined;
};

/** "x99" as often as anybody repeats; "x1" is no repeat count. */
const times: Mend = ({ line, span }) => {
  const after = line.slice(span.column - 1 + span.length);
  const [count, number] = /\s*[x×]\s*(\d+)/u.exec(after) ?? [];
  if (count === undefined) return undefined;
  const column = span.column + span.length + after.indexOf(count);
  const text = Number(number) < 2 ? '' : ' x32';
  return { text, span: { line: span.line, column, length: count.length } };
};

/** Endings in a row are numbered from 1 on, from that of the bar on to the next repeat or section. */
const endings: Mend = ({ lines, span }) => {
  const found: Change[] = [];
  for (let row = span.line - 1; row < lines.length; row++) {
    const line = lines[row]!;
    if (row > span.line - 1 && !/^\s*:?\|/u.test(line)) {
      if (/^\s*\[/u.test(line)) break;
      continue;
    }
    for (const mark of line.matchAll(/\|(:)|(\|\s*)(\d{1,3}(?:\s*,\s*\d{1,3})*)\.(?=\s|$)/gu)) {
      const isEarlier = row === span.line - 1 && mark.index + 1 < span.column - 10 - mark[0].length;
      if (mark[1] && found.length > 0) return found;
      if (mark[1] || isEarlier) continue;
      const column = mark.index + mark[2]!.length + 1;
      const text = String(found.length + 1);
      found.push({ text, span: { line: row + 1, column, length: mark[3]!.length } });
    }
  }
  return found.length > 0 ? found : undefined;
};

/** The sign that a repeat needs to end, at the end of its line. */
const closed: Mend = ({ span, line }) => ({
  text: ':|',
  span: {
    line: span.line,
    column: line.trimEnd().length,
    length: line.trimEnd().endsWith('|') ? 1 : 0,
  },
});

/** An ending in the middle goes back: its last bar line gets the repeat sign. */
const endingOpen: Mend = ({ span, line }) => {
  const next = line.slice(span.column - 1).search(/\|\s*\d[\d,\s]*\./u);
  return next < 0
    ? undefined
    : { text: ':', span: { ...span, column: span.column + next, length: 0 } };
};

const endingLast: Mend = ({ span, line }) => {
  const sign = line.indexOf(':|', span.column - 1);
  return sign < 0
    ? undefined
    : { text: '', span: { line: span.line, column: sign + 1, length: 1 } };
};

const withoutCount: Mend = ({ span, line }) => {
  const [count] = /\s*[x×]\s*\d+/u.exec(line.slice(span.column - 1 + span.length)) ?? [];
  if (count === undefined) return undefined;
  const column = line.indexOf(count, span.column - 1 + span.length) + 1;
  return { text: '', span: { line: span.line, column, length: count.length } };
};

const withoutPickup: Mend = ({ typed }) => typed.replace(/pickup(?:\s+\d+\/\d+)?\s*/iu, '') || '/';

const pickupLength: Mend = ({ span, line }) => {
  const rest = line.slice(span.column - 1);
  const [whole, after = ''] = /^pickup(?:\s+\d+\/\d+)?(\s*\|)?/iu.exec(rest) ?? [];
  if (whole === undefined) return undefined;
  return { text: `pickup 1/4${after && ' / |'}`, span: { ...span, length: whole.length } };
};

const fermata: Mend = ({ span, line }) => {
  const [whole, mark, chord_] =
    /^((?:fermata|𝄐)(?:\s*\+\s*\d+)?)\s+([^\s|]+)/iu.exec(line.slice(span.column - 1)) ?? [];
  if (whole === undefined) return { text: '', span };
  return { text: `${chord_} ${mark}`, span: { ...span, length: whole.length } };
};

const pace: Mend = ({ typed }) =>
  typed.replace(
    /((?:=|\bto)\s*)([\d.]+)/u,
    (_, sign: string, number: string) => `${sign}${clamp(Number(number), 20, 400)}`,
  );

/** A word about the way through the song goes; its bar with it where it stood alone. */
const jump: Mend = ({ span, line }) => {
  const before = line.slice(0, span.column - 1);
  const after = line.slice(span.column - 1 + span.length);
  const gap = /\|\s*$/u.test(before) ? /^\s*:?\|/u.exec(after)?.[0].length : undefined;
  if (gap === undefined || !/\|.*\|\s*$/u.test(before))
    return {
      text: '',
      span: { ...span, length: span.length + (/^\s*/u.exec(after)?.[0].length ?? 0) },
    };
  const bar = /\s*$/u.exec(before)![0].length;
  return {
    text: '',
    span: { line: span.line, column: span.column - bar, length: bar + span.length + gap },
  };
};

const insteadOfSlots: Mend = ({ span }) => ({ text: ' / ', span: { ...span, length: 0 } });

export const BAR_CURES: readonly (readonly [string, Mend])[] = [
  ['bar-beats', beats],
  ['bar-empty', insteadOfSlots],
  ['beats-glued', ({ typed }) => typed.replace(/([/.]+)$/u, ' $1')],
  ['split-open', ({ span }) => ({ text: ')', span: endOf(span) })],
  ['split-empty', (place) => repeated(place) ?? '/'],
  ['split-nested', ({ typed }) => typed.replace(/^\(\s*|\s*\)$/gu, '')],
  ['repeat-stray', repeated],
  ['repeat-times', (place) => times(place) ?? endings(place)],
  ['repeat-open', closed],
  ['ending-times', endings],
  ['ending-open', endingOpen],
  ['ending-last', endingLast],
  ['ending-count', withoutCount],
  ['chord-signs', BRACKETS],
  ['chord-unreadable', chord],
  ['shape-alone', shape],
  ['sign-unreadable', sign],
  ['jump-word', jump],
  ['simile-first', ({ typed }) => typed.replace(/[%𝄎]/u, '/')],
  ['simile-mixed', ({ typed }) => typed.replace(/[%𝄎]\s*/u, '').trim()],
  ['pickup-place', withoutPickup],
  ['pickup-length', pickupLength],
  ['fermata-place', fermata],
  ['pace-twice', () => ({ text: '' })],
  ['remark-twice', () => ({ text: '' })],
  ['pace-range', pace],
  ['remark-open', ({ span }) => ({ text: '"', span: endOf(span) })],
  [
    'swing-meter',
    ({ span, line, lines }) =>
      straight(span.line, lines) ?? { text: '', span: lineEnd(span, line) },
  ],
];

/** "feel: straight" under the name of the section in which the bar stands. */
function straight(row: number, lines: readonly string[]): Change | undefined {
  const heading = lines.findLastIndex((text, i) => i < row && /^\s*\[[^[\]]*\]\s*$/u.test(text));
  if (heading < 0) return undefined;
  const span = { line: heading + 1, column: lines[heading]!.length + 1, length: 0 };
  return { text: '\nfeel: straight', span };
}
