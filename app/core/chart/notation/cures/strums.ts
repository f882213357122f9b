// Cures for strum patterns: notes that are not said, signs that are none, patterns without a stroke.
import { cellsInBar, fitted, strumFits } from '../../../rhythm/fit-strum.ts';
import { parseStrum, printStrum } from '../../../rhythm/strum.ts';
import { type Replacement, type Mend, type MistakePlace, endOf, meterAbove } from './cure.ts';

/** "{" before a strum of one bar, and what is said in it. */
const inBraces = (typed: string): [open: string, text: string, close: string] => {
  const [, open = '', text = typed, close = ''] = /^(\{?\s*)(.*?)(\s*\}?)$/su.exec(typed) ?? [];
  return [open, text, close];
};

/** "down up" is D U; "quarters D D" has a ring behind each stroke; "D DU UDU" is spread over its bar. */
function grid(place: MistakePlace): string {
  const { typed } = place;
  const [open, text, close] = inBraces(typed);
  const signs = text
    .replace(/\bdown(?:stroke)?s?\b/giu, 'D')
    .replace(/\bup(?:stroke)?s?\b/giu, 'U')
    .replace(/\brests?\b/giu, 'r')
    .replace(/\bquarters?\s*:?(.*)$/iu, (_, rest: string) => rest.replace(/[DdUu]/gu, '$&-'))
    .replace(/^\s*(?![DdUuRrXx]+(?:\s|$))\p{L}{6,}\s*/u, '');
  const known = /\bsixteen/iu.test(text)
    ? 'sixteenths'
    : /\btripl/iu.test(text)
      ? 'triplets'
      : 'eighths';
  const struck = signs.replace(/^[^DdUu\-r↓↑⊓∨]+/u, '').trim();
  return `${open}${fitting(`${known} ${struck === '' ? PLAIN : struck}`, place)}${close}`;
}

/** The strum as it fills its bar, where one reads it so. */
function fitting(text: string, { span, lines }: MistakePlace): string {
  const pattern = parseStrum(text);
  const meter = meterAbove(span.line - 1, lines);
  if (!pattern.ok || strumFits(pattern.value, meter)) return text;
  const wanted = cellsInBar(meter, pattern.value.grid);
  return Number.isInteger(wanted) ? printStrum(fitted(pattern.value, wanted), meter) : text;
}

/** A down-stroke to a quarter note: it fits into every bar of quarters. */
const PLAIN = 'D-';

function empty({ typed }: MistakePlace): string {
  const [open, text, close] = inBraces(typed);
  if (text.includes('-')) return typed.replace('-', 'D');
  const word = /^(?:triplets|sixteenths)/iu.exec(text)?.[0].toLowerCase();
  const plain = word === 'sixteenths' ? 'D---' : word === 'triplets' ? 'D--' : PLAIN;
  return `${open}${word ?? 'eighths'} ${plain}${close}`;
}

const signs: Mend = ({ typed }) =>
  typed.replace(
    /^(\{?\s*\p{L}{6,})|[^DdUurRxm>.\-\s{}]|(?<=[-\s])\./gu,
    (sign: string, word: string | undefined) => (word ? sign : sign === '.' ? '-' : ''),
  );

const close =
  (sign: string): Mend =>
  ({ span }): Replacement => ({ text: sign, span: endOf(span) });

export const STRUM_CURES: readonly (readonly [string, Mend])[] = [
  ['strum-grid', grid],
  ['strum-sign', signs],
  ['strum-empty', empty],
  ['strum-open', close('}')],
];
