// Cures for bars: beats that do not add up, signs that are none, repeats and endings, chords that cannot be read.
import { editDistance } from '../../../harmony/nearest.ts';
import { readChord } from '../../../harmony/read.ts';
import { parseFrets } from '../../../fretboard/frets.ts';
import { printMeter } from '../../../rhythm/meter.ts';
import { beats } from './beats.ts';
import { degrees } from './degrees.ts';
import { shape } from './shapes.ts';
import { tradeWord } from './trade-words.ts';
import {
  type Replacement,
  type Mend,
  type MistakePlace,
  behindChord,
  clamp,
  digitsMeant,
  endOf,
  headingAbove,
  lineEnd,
  meterAbove,
  suggested,
  wholeLine,
} from './cure.ts';

/** "| G | D | x2", "| G | D | (2x)", ":| x 3": a repeat with its count behind it. */
function repeated({ line, span }: Pick<MistakePlace, 'line' | 'span'>): Replacement | undefined {
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

/** Signs that are no chord: silence, words of the trade, endings, counts, numbers of the key. */
function sign(place: MistakePlace): string | Replacement | readonly Replacement[] | undefined {
  const { typed, span, line } = place;
  const before = line.slice(0, span.column - 1);
  if (/^r$/iu.test(typed)) return rests(place);
  if (/^repeat[.!]?$/iu.test(typed)) {
    const twice = repeated({ line: `${before.trimEnd()} x2`, span });
    if (twice && /^[\s|]*$/u.test(line.slice(span.column - 1 + span.length)))
      return { ...twice, span: wholeLine(span, line) };
  }
  const word = tradeWord(typed);
  if (word !== undefined) return word;
  if (/^\[\d\.?\s/u.test(typed))
    return [...line.matchAll(/(?<=\|\s*)\[(?=\d)/gu)].map(({ index }) => ({
      text: '',
      span: { line: span.line, column: index + 1, length: 1 },
      label: 'Write the endings without brackets',
    }));
  if (/^\d{2,3}$/u.test(typed) && /(?:rit|rall|accel)\.?\s*$/iu.test(before)) return `= ${typed}`;
  if (/^\d{1,2}$/u.test(typed) && /fermata\s*$/iu.test(before)) return `+${typed}`;
  const ends = endingsOf(place);
  if (ends) return ends;
  const joined = joinedTo(before, place);
  if (joined) return joined;
  const counted = /^(?:[x×]\d{0,2}|\d{1,2}[x×]?)$/iu.test(typed) ? repeated(place) : undefined;
  if (counted) return counted;
  if (/^[,;:]+$/u.test(typed)) return '';
  if (/^[-–—_*~.]+$/u.test(typed)) return /[A-H][^|]*$|\|\s*.*\|\s*$/u.test(before) ? '/' : 'N.C.';
  return degrees(place);
}

/** "R R" is one silence that goes on. */
function rests({ line, span }: MistakePlace): readonly Replacement[] {
  if (line.length > 240) return [{ text: 'N.C.', span }];
  return [...line.matchAll(/(?<=[\s|(])[Rr](?=[\s|)]|$)/gu)].map(({ index }) => ({
    text: /(?<=[\s|(])[Rr]\s+$/u.test(line.slice(0, index)) ? '/' : 'N.C.',
    span: { line: span.line, column: index + 1, length: 1 },
  }));
}

/** "|1 D :|2 G |": endings without their points. */
function endingsOf({ typed, line, span }: MistakePlace): readonly Replacement[] | undefined {
  const marks = [...line.matchAll(/(?<=\|)\d{1,2}(?=\s+[^\s|])/gu)];
  const isOne = marks.some(({ 0: mark, index }) => index + 1 === span.column && mark === typed);
  if (!isOne || !line.includes(':|')) return undefined;
  return marks.map(({ 0: mark, index }) => ({
    text: `${mark}.`,
    span: { line: span.line, column: index + 1, length: mark.length },
  }));
}

/** Signs that belong to the chord before them: "A minor", "C sharp", "D /F#", "~ G". */
function joinedTo(before: string, { typed, span, line }: MistakePlace): Replacement | undefined {
  if (typed === '~') {
    const [slide] = /^~\s+[^\s|]+/u.exec(line.slice(span.column - 1)) ?? [];
    return slide === undefined
      ? undefined
      : { text: slide.replace(/\s+/u, ''), span: { ...span, length: slide.length } };
  }
  const isBass = /^\/[A-H][#b♯♭]?$/u.test(typed);
  const more = SUFFIXES.has(typed.toLowerCase()) ? undefined : behindChord(before, typed, span);
  if (more && !/^\d{2,}$/u.test(typed) && readChord(more.text.replace(/^~/u, '')).ok) return more;
  const tail = isBass ? typed : SUFFIXES.get(typed.toLowerCase());
  return tail === undefined ? undefined : behindChord(before, tail, span);
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

/** "G(320003)" is a shape behind its chord; "G-D" are two chords. */
function chord(place: MistakePlace): string | Replacement | readonly Replacement[] | undefined {
  const { typed, line, span } = place;
  const silence = /\bno\s+chords?(?=[\s|]|$)/giu;
  for (const { 0: words, index } of line.matchAll(silence))
    if (index < span.column && span.column <= index + words.length)
      return { text: 'N.C.', span: { ...span, column: index + 1, length: words.length } };
  if (/^[#b♯♭](?:[1-7]|[IViv]{1,3})/u.test(typed)) return degrees(place);
  const [, symbol, shape] = /^(~?[^\s()]+)\(([xX\d.]+)\)$/u.exec(typed) ?? [];
  if (symbol && shape && parseFrets(shape).ok) return `${symbol}[${shape}]`;
  const two = typed.split(/[-–—_>→]+/u);
  if (two.length > 1 && two.every((one) => readChord(one).ok)) return two.join(' ');
  const better = suggested(place);
  // A word that no chord is near is none that was misspelt.
  const isWord = /^\p{Ll}{2,}$|^\p{L}{5,}$/u.test(typed) && !FOREIGN.test(typed);
  return isWord && better !== undefined && editDistance(typed, better) > typed.length / 2
    ? undefined
    : better;
}

/** Names of notes in other languages. */
const FOREIGN = /^(?:sol|do|r[eé]|mi|fa|la|si|[cdfgae]?[ie]?s|h)/iu;

const BRACKETS: Mend = ({ typed }) => {
  const several = typed.split(/[,;]+/u).filter((one) => one !== '');
  if (several.length > 1 && several.every((one) => readChord(one).ok)) return several.join(' ');
  const plain = typed.replace(/[,;.:]+$/u, '');
  const open = [...plain].filter((one) => one === '(').length;
  const closed = [...plain].filter((one) => one === ')').length;
  const whole = open > closed ? plain + ')'.repeat(open - closed) : plain.replace(/\)+$/u, '');
  return (whole === typed ? plain.replace(/[^\p{L}\d#♯♭+°/-]/gu, '') : whole) || undefined;
};

/** "x99" has a digit too many; "x1" is no repeat count. */
const times: Mend = ({ line, span }) => {
  const after = line.slice(span.column - 1 + span.length);
  const [count, number] = /\s*[x×]\s*(\d+)/u.exec(after) ?? [];
  if (count === undefined) return undefined;
  const column = span.column + span.length + after.indexOf(count);
  const text = Number(number) < 2 ? '' : ` x${digitsMeant(Number(number), 2, 32)}`;
  return { text, span: { line: span.line, column, length: count.length } };
};

/** Endings in a row are numbered from 1 on, from that of the bar on to the next repeat or section. */
const endings: Mend = ({ lines, span }) => {
  const found: Replacement[] = [];
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

/** A short bar inside a section has a meter of its own, and the bar behind it has the old one again. */
const shortBar: Mend = ({ typed, span, line, lines }) => {
  const meter = meterAbove(span.line - 1, lines);
  const said = /^pickup\s+(\d+\/\d+)\s*/iu.exec(typed);
  const plain = typed.replace(/^pickup(?:\s+\d+\/\d+)?\s*/iu, '');
  const beats = plain.split(/\s+/u).filter((sign) => sign !== '').length;
  const own = said?.[1] ?? `${beats}/${meter.unit}`;
  const next = /^\s*\|\s*(?=[^\s|])(?!\d+\/\d)/u.exec(line.slice(span.column - 1 + span.length));
  if (beats === 0) return '/';
  if (!next) return [{ text: `${own} ${plain}`, span }];
  const column = span.column + span.length + next[0].length;
  return [
    { text: `${own} ${plain}`, span },
    { text: `${printMeter(meter)} `, span: { line: span.line, column, length: 0 } },
  ];
};

/** What is longer than a bar is counted on from the bar line; a whole bar is none. */
const pickupLength: Mend = ({ span, line, lines }) => {
  const { numerator, unit } = meterAbove(span.line - 1, lines);
  const rest = line.slice(span.column - 1);
  const [whole, n = '1', d = '4', after = ''] =
    /^pickup(?:\s+(\d+)\/(\d+))?(\s*\|)?\s*/iu.exec(rest) ?? [];
  if (whole === undefined) return undefined;
  const over = (Number(n) * unit) % (numerator * Number(d));
  const text = over > 0 ? `pickup ${over / unit}/${d} ` : '';
  const length = over / unit;
  const told = over > 0 && Number.isInteger(length) ? `pickup ${length}/${d}` : text.trim();
  return {
    text: told === '' ? after && '/ |' : `${told} ${after && '/ |'}`,
    span: { ...span, length: whole.length },
  };
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
    (_, sign: string, number: string) => `${sign}${digitsMeant(Number(number), 20, 400)}`,
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

/** "%" at the head of a section is the last bar of the section above, else the bar behind it. */
const simileFirst: Mend = ({ typed, span, line, lines }) => {
  const heading = headingAbove(span.line - 1, lines);
  const above = lines.slice(0, Math.max(0, heading)).findLast((text) => BARS.test(text));
  const bars = [
    above && barsIn(above).at(-1),
    ...barsIn(line.slice(span.column - 1 + span.length)),
  ];
  const chords = bars.find((bar) => bar !== undefined && /[A-H]/u.test(bar));
  return chords && typed.replace(/[%𝄎]/u, chords.replace(/"[^"]*"|\{[^}]*\}/gu, '').trim());
};

const BARS = /^\s*:?\|/u;

const barsIn = (text: string): string[] =>
  text
    .split(/:?\|[:|]?/u)
    .map((bar) => bar.trim())
    .filter((bar) => bar !== '' && !/^x\d+$/u.test(bar));

/** "% D": the chord before goes on, then the other one comes. */
const simileMixed: Mend = ({ typed, span, line }) => {
  const before = line.slice(0, span.column - 1).match(/(?<=[\s|(])~?[A-H][^\s|[)"]*/gu) ?? [];
  return typed.replace(/[%𝄎]/u, before.at(-1) ?? '').trim();
};

/** The second tempo mark of a bar goes. */
const secondMark: Mend = ({ span, line }) => {
  const gap = /^\s*/u.exec(line.slice(span.column - 1 + span.length))![0].length;
  return { text: '', span: { ...span, length: span.length + gap } };
};

/** Two remarks on a bar become one. */
const joinedRemarks: Mend = ({ typed, span, line }) => {
  const before = /["“]([^"“”]*)["”][^|"“]*$/u.exec(line.slice(0, span.column - 1));
  if (!before) return secondMark({ typed, span, line, lines: [], cure: '' });
  const gap = /^\s*/u.exec(line.slice(span.column - 1 + span.length))![0].length;
  const second = typed.slice(1, -1).trim();
  const first = { line: span.line, column: before.index + 1, length: before[1]!.length + 2 };
  return [
    { text: `"${before[1]!.trim()}; ${second}"`, span: first },
    { text: '', span: { ...span, length: span.length + gap } },
  ];
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
  ['simile-first', simileFirst],
  ['simile-mixed', simileMixed],
  ['pickup-place', shortBar],
  ['pickup-length', pickupLength],
  ['fermata-place', fermata],
  ['pace-twice', secondMark],
  ['remark-twice', joinedRemarks],
  ['pace-range', pace],
  ['remark-open', ({ span }) => ({ text: '"', span: endOf(span) })],
  [
    'swing-meter',
    ({ span, line, lines }) =>
      straight(span.line, lines) ?? { text: '', span: lineEnd(span, line) },
  ],
];

/** "feel: straight" under the name of the section in which the bar stands. */
function straight(row: number, lines: readonly string[]): Replacement | undefined {
  const heading = headingAbove(row - 1, lines);
  if (heading < 0) return undefined;
  const span = { line: heading + 1, column: lines[heading]!.length + 1, length: 0 };
  return { text: '\nfeel: straight', span };
}
