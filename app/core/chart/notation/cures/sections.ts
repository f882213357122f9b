// Cures for what stands under a section's name: names, borrowed bars, lines that belong elsewhere, words, lead lines.
import { type Change, type Mend, type Place, lineEnd, wholeLine, withoutLine } from './cure.ts';

const HEADING = /^\s*\[[^[\]]*\]\s*$/u;
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

const bars: Mend = ({ span, line }) => ({ text: '\n| G |', span: lineEnd(span, line) });

const noSection: Mend = ({ lines }) => {
  const last = lines.at(-1) ?? '';
  const text = `${last === '' ? '' : '\n'}[Verse]\n| G |\n`;
  return { text, span: { line: lines.length, column: last.length + 1, length: 0 } };
};

/** "bar 9: | D |" is a bar of its own where there is none to change. */
const ownBars: Mend = ({ typed, span, line }) => ({ text: typed, span: wholeLine(span, line) });

const writtenOut: Mend = ({ span, line }) => ({ text: '| G |', span: wholeLine(span, line) });

/** A line that stands too far up: a strum under the first section's name, words under its first bars. */
const under: Mend = ({ span, line, lines }) => {
  const heading = lines.findIndex((text) => HEADING.test(text));
  const isWords = /^\s*words/iu.test(line);
  const row = isWords ? lines.findIndex((text, i) => i >= span.line && BARS.test(text)) : heading;
  if (row < 0) return withoutLine({ span, line } as Place);
  return [
    {
      text: '',
      span: wholeLine(span, line),
      label: isWords ? 'Move it under its bars' : 'Move it there',
    },
    { text: `\n${line.trim()}`, span: lineEnd({ ...span, line: row + 1 }, lines[row]!) },
  ];
};

/** Words above their bars go below them; where no bars follow they go. */
const wordsBelow: Mend = (place) => {
  const { span, lines } = place;
  const next = lines.findIndex((text, i) => i >= span.line && BARS.test(text));
  const end = lines.findIndex((text, i) => i >= span.line && HEADING.test(text));
  return next < 0 || (end >= 0 && end < next) ? withoutLine(place) : under(place);
};

const verse: Mend = ({ span, line }) => ({
  text: line.replace(/^(\s*words\s+)\d+/iu, '$112'),
  span: wholeLine(span, line),
});

const beat: Mend = ({ typed }) => typed.replace(/@\S+\s*/u, '');

const leadBar: Mend = ({ typed }) => typed.replace(/\d+(?!.*\d)/u, '1');

/** The start that comes too early is left out. */
const leadAgain: Mend = ({ typed }) =>
  typed.replace(/(?:\s*,\s*|\s+and\s+|\s*[,&]\s*and\s+)\d+\s*$/iu, '');

/** A lead line without a part gets one that rests; a part without a line gets its line. */
const leadPart: Mend = ({ span, line }): Change => ({
  text: '\npart Guitar 1: | 1 r |',
  span: lineEnd(span, line),
});
const leadHead: Mend = ({ span }): Change => ({
  text: 'line: Lead, bar 1\n',
  span: { line: span.line, column: 1, length: 0 },
});

export const SECTION_CURES: readonly (readonly [string, Mend])[] = [
  ['section-twice', ({ typed }) => `${typed} again`],
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
  ['line-bar', leadBar],
  ['line-again', leadAgain],
  ['line-head', leadPart],
  ['part-alone', leadHead],
];
