// Cures for what stands under a section's name: names, borrowed bars, lines that belong elsewhere, words, lead lines.
import type { TextSpan } from '../../../base/result.ts';
import { barLength } from '../../../rhythm/meter.ts';
import { restsFor } from './lead-bars.ts';
import {
  type Replacement,
  type Mend,
  type MistakePlace,
  headingIn,
  lineEnd,
  meterAbove,
  wholeLine,
  withoutLine,
} from './cure.ts';

const BARS = /^\s*:?\|/u;

/** Names are plain words. */
const name: Mend = ({ typed, span, line }) => {
  const plain = typed
    .replace(/\s[x×]\d+$/u, '')
    .replace(/[[\]|,:=]+/gu, ' ')
    .replace(/\s+/gu, ' ')
    .trim()
    .slice(0, 40);
  return plain === '' ? { text: '[Section]', span: wholeLine(span, line) } : plain;
};

/** "Verse 2" and "Chorus again" play the bars of the section that they are named after; else a bar is left empty. */
const bars: Mend = ({ typed, span, line, lines }) => {
  const root = (text: string): string => text.toLowerCase().replace(/[\s\d]+$|\s+again$/gu, '');
  const named = typed.replace(/^\[|\]$/gu, '').trim();
  const above = lines
    .slice(0, span.line - 1)
    .flatMap((text) => headingIn(text) ?? [])
    .find((other) => root(other) === root(named) && other !== named);
  return above === undefined
    ? { text: '\n| N.C. |', span: lineEnd(span, line), label: 'Begin with an empty bar' }
    : { text: `\nlike: ${above}`, span: lineEnd(span, line) };
};

const noSection: Mend = ({ lines }) => {
  const last = lines.at(-1) ?? '';
  const text = `${last === '' ? '' : '\n'}[Verse]\n| N.C. |\n`;
  const span = { line: lines.length, column: last.length + 1, length: 0 };
  return { text, span, label: 'Begin a section' };
};

/** "Verse 2" where there is a "Verse", with the first number that is free. */
const another: Mend = ({ typed, lines }) => {
  const names = lines.flatMap((text) => headingIn(text) ?? []);
  const root = typed.replace(/\s+\d+$/u, '');
  for (let n = 2; ; n++) if (!names.includes(`${root} ${n}`)) return `${root} ${n}`;
};

/** A section that stands further down can't be borrowed from: its bars are written here. */
const writtenOut: Mend = ({ typed, span, line, lines }) => {
  const name = typed.split(',')[0]!.trim().toLowerCase();
  const from = lines.findIndex((text) => headingIn(text)?.toLowerCase() === name);
  if (from < span.line) return undefined;
  const end = lines.findIndex((text, i) => i > from && headingIn(text) !== undefined);
  const taken = lines.slice(from + 1, end < 0 ? undefined : end).filter((text) => BARS.test(text));
  return taken.length === 0
    ? undefined
    : { text: taken.join('\n'), span: wholeLine(span, line), label: 'Write its bars here' };
};

/** "bar 9: | D |" is a bar of its own where there is none to change. */
const ownBars: Mend = ({ typed, span, line }) => ({ text: typed, span: wholeLine(span, line) });

/** A line that stands too far up: a strum under the first section's name, words under its first bars. */
const under: Mend = ({ span, line, lines }) => {
  const heading = lines.findIndex((text) => headingIn(text) !== undefined);
  const isWords = /^\s*words/iu.test(line);
  if (/^\s*strum/iu.test(line) && heading >= 0) return underEach(span, line, lines);
  const row = isWords ? lines.findIndex((text, i) => i >= span.line && BARS.test(text)) : heading;
  if (row < 0) return withoutLine({ span, line } as MistakePlace);
  return [
    {
      text: '',
      span: wholeLine(span, line),
      label: isWords ? 'Move it under its bars' : 'Move it there',
    },
    { text: `\n${line.trim()}`, span: lineEnd({ ...span, line: row + 1 }, lines[row]!) },
  ];
};

/** A strum that is said at the top is meant for the whole song. */
function underEach(span: TextSpan, line: string, lines: readonly string[]): readonly Replacement[] {
  const headings = lines.flatMap((text, i) => (headingIn(text) === undefined ? [] : [i]));
  const open = headings.filter((row, i) => {
    const own = lines.slice(row + 1, headings[i + 1]);
    return !own.some((text) => /^\s*(?:strum|like)\b/iu.test(text));
  });
  return [
    { text: '', span: wholeLine(span, line), label: 'Put it under each section' },
    ...open.map((row) => ({
      text: `\n${line.trim()}`,
      span: lineEnd({ ...span, line: row + 1 }, lines[row]!),
    })),
  ];
}

/** Words above their bars go below them; where no bars follow they go. */
const wordsBelow: Mend = (place) => {
  const { span, lines } = place;
  const next = lines.findIndex((text, i) => i >= span.line && BARS.test(text));
  const end = lines.findIndex((text, i) => i >= span.line && headingIn(text) !== undefined);
  return next < 0 || (end >= 0 && end < next) ? withoutLine(place) : under(place);
};

const verse: Mend = ({ span, line }) => ({
  text: line.replace(/^(\s*words\s+)\d+/iu, '$112'),
  span: wholeLine(span, line),
});

const beat: Mend = ({ typed }) => typed.replace(/@\S+\s*/u, '');

/** The last bar in which it can start. */
const leadBar: Mend = ({ typed, cure }) =>
  typed.replace(/\d+(?!.*\d)/u, /to (\d+)\.$/u.exec(cure)?.[1] ?? '1');

/** The start that comes too early is left out. */
const leadAgain: Mend = ({ typed }) =>
  typed.replace(/(?:\s*,\s*|\s+and\s+|\s*[,&]\s*and\s+)\d+\s*$/iu, '');

/** A lead line without a part gets one that rests; a part without a line gets its line. */
const leadPart: Mend = ({ span, line, lines }): Replacement => ({
  text: `\npart Guitar 1: | ${restsFor(barLength(meterAbove(span.line - 1, lines))) ?? '1 r'} |`,
  span: lineEnd(span, line),
  label: 'Begin a part with a rest',
});
const leadHead: Mend = ({ span }): Replacement => ({
  text: 'line: Lead, bar 1\n',
  span: { line: span.line, column: 1, length: 0 },
});

export const SECTION_CURES: readonly (readonly [string, Mend])[] = [
  ['section-twice', another],
  ['section-name', name],
  ['section-bars', bars],
  ['chart-sections', noSection],
  ['change-bars', ownBars],
  ['change-alone', ownBars],
  ['like-section', writtenOut],
  ['line-under', under],
  ['words-alone', under],
  ['words-bars', wordsBelow],
  ['words-verse', verse],
  ['words-beat', beat],
  ['lead-bar', leadBar],
  ['lead-again', leadAgain],
  ['lead-head', leadPart],
  ['part-alone', leadHead],
];
