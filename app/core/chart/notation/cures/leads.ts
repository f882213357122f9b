// Cures for the typed parts of lead lines, and the very sign of the part at which each mistake stands.
import { type Rational, add, compare, rational, sub, ZERO } from '../../../base/rational.ts';
import type { Problem, Remedy, TextEdit, TextSpan } from '../../../base/result.ts';
import { leadNeck } from '../../../lead/realise.ts';
import { type LeadToken, type LeadWhere, tokensOf } from '../../../lead/notation.ts';
import { type NoteValue, valueLength } from '../../../model/lead.ts';
import type { ChartBody } from '../../../model/chart.ts';

/** A typed part: what stands behind its name. */
interface PartText {
  readonly text: string;
  readonly line: number;
  readonly column: number;
}

/** What of a chart a part is played on. */
type Setting = Pick<ChartBody, 'tuning' | 'capo'>;

/** The problem of a part at its own sign, with a cure where one is known. */
export function withLeadCure(
  problem: Problem,
  part: PartText,
  where: LeadWhere | undefined,
  setting: Setting,
): Problem {
  const bar = where && tokensOf(part.text)[where.bar];
  if (!where || !bar)
    return { ...problem, span: problem.span ?? at(part, 0, Math.max(1, part.text.length)) };
  const token = tokenAt(bar.tokens, where);
  const span = token ? at(part, token.at, token.text.length) : barSpan(part, bar);
  const mend = NOTE_MENDS.get(problem.code);
  const meant = token && mend?.(token.text, stringBefore(part, where), setting, problem.message);
  const edits =
    meant === undefined ? barEdits(problem.code, part, where) : [{ ...span, text: meant }];
  return { ...problem, span, ...(edits && { remedy: remedyOf(edits) }) };
}

const tokenAt = (
  tokens: readonly LeadToken[],
  { token, event }: LeadWhere,
): LeadToken | undefined =>
  token !== undefined
    ? tokens[token]
    : event === undefined
      ? undefined
      : tokens.filter(({ isValue }) => !isValue)[event];

const at = ({ line, column }: PartText, from: number, length: number): TextSpan => ({
  line,
  column: column + from,
  length,
});

function barSpan(part: PartText, { tokens, end }: ReturnType<typeof tokensOf>[number]): TextSpan {
  const from = tokens[0]?.at ?? end;
  return at(part, from, Math.max(1, end - from));
}

function remedyOf(edits: readonly TextEdit[]): Remedy {
  const said = edits.map(({ text }) => text.trim()).find((text) => /[\p{L}\d]/u.test(text));
  return { label: said === undefined ? 'Take it out' : `Write “${said}”`, edits };
}

/** One sign in place of another; `string` is that of the note before. */
type NoteMend = (typed: string, string: number, setting: Setting, message: string) => string;

const isFirstOfString = (note: string, index: number, all: readonly string[]): boolean =>
  all.findIndex((other) => other.split('/')[0] === note.split('/')[0]) === index;

/** The string of the last note before; 3 in the middle of the neck where there is none. */
function stringBefore(part: PartText, where: LeadWhere): number {
  const bars = tokensOf(part.text).slice(0, where.bar + 1);
  const tokens = bars.flatMap(({ tokens }, i) => {
    const last = i === where.bar ? tokenAt(tokens, where) : undefined;
    return last ? tokens.slice(0, tokens.indexOf(last)) : tokens;
  });
  const strings = tokens.flatMap(({ text }) => /(?:^|\+)([1-6])\//u.exec(text)?.[1] ?? []);
  return Number(strings.at(-1) ?? 3);
}

/** Names that people give to note values. */
const VALUES: ReadonlyMap<string, string> = new Map([
  ['w', '1'],
  ['whole', '1'],
  ['h', '2'],
  ['half', '2'],
  ['q', '4'],
  ['quarter', '4'],
  ['e', '8'],
  ['eighth', '8'],
  ['s', '16'],
  ['32', '16'],
  ['64', '16'],
  ['1/4', '4'],
  ['1/8', '8'],
  ['1/16', '16'],
  ['1/2', '2'],
]);

/** "3-7", "3:7" and "(3/7)" name string and fret; a fret alone stands on the string before. */
function readable(typed: string, string: number): string {
  const value = VALUES.get(typed.length > 1 ? typed.toLowerCase() : typed);
  if (value !== undefined) return value;
  if (/^(?:rest|z|_|\.)$/iu.test(typed)) return 'r';
  const plain = typed.replace(/[(),;]/gu, '');
  const [, on, fret] = /^([1-6])[-:.s]([0-9]{1,2}|x)$/iu.exec(plain) ?? [];
  if (on !== undefined) return `${on}/${fret}`;
  if (/^(?:\d{1,2}|x)[~^]*$/u.test(plain)) return `${string}/${plain}`;
  if (/^[hp/\\](?:\d{1,2}|x)/u.test(plain)) return `${string}/${plain.slice(1)}`;
  const [, note, bend] = /^((?:[1-9]\/)?[hp/\\]?\d{1,2})b(.*)$/u.exec(plain) ?? [];
  if (note !== undefined) return `${note}b${bendMeant(bend!)}`;
  return 'r';
}

const bendMeant = (bend: string): string => {
  const release = /r/u.test(bend) ? 'r' : '';
  if (/^(?:1\/2|\.5|½|half)/u.test(bend)) return `.5${release}`;
  return `${/^(?:1\.5|1½|3)/u.test(bend) ? '1.5' : '1'}${release}`;
};

/** "7/3" has string and fret the wrong way round; a string too far down is the lowest. */
const onNeck: NoteMend = (typed) =>
  typed.replace(
    /(^|\+)(\d)\/(\d{1,2})(?=\D|$)/gu,
    (note, joint: string, on: string, fret: string) => {
      if (Number(on) <= 6) return note;
      const swapped = Number(fret) >= 1 && Number(fret) <= 6;
      return swapped ? `${joint}${fret}/${on}` : `${joint}6/${fret}`;
    },
  );

/** The same pitch on a higher string, else the last fret. */
function onFret(typed: string, _: number, setting: Setting): string {
  const { open, frets: last } = leadNeck(setting);
  return typed.replace(
    /(^|\+)([1-6])\/([hp/\\]?)(\d{1,2})/gu,
    (note, joint: string, on: string, how: string, fret: string) => {
      if (Number(fret) <= last) return note;
      const pitch = open[open.length - Number(on)]! + Number(fret);
      for (let string = Number(on) - 1; string >= 1; string--) {
        const there = pitch - open[open.length - string]!;
        if (there >= 0 && there <= last) return `${joint}${string}/${there}`;
      }
      return `${joint}${on}/${how}${last}`;
    },
  );
}

const OPPOSITE: ReadonlyMap<string, string> = new Map([
  ['h', 'p'],
  ['p', 'h'],
  ['/', '\\'],
  ['\\', '/'],
]);

/** A hammer-on that goes down is a pull-off; what nothing leads to is picked. */
function reached(message: string, typed: string, string: number): string {
  const [, on, sign, fret] = /^(?:([1-9])\/)?([hp/\\])(.*)$/u.exec(typed) ?? [];
  if (sign === undefined) return typed.replace(/g\d{1,2}[hp/\\]/u, '');
  const [, from, to] = /from (\d+) to (\d+)$/u.exec(message) ?? [];
  if (from === undefined || from === to) return `${on ?? string}/${fret}`;
  return typed.replace(sign, OPPOSITE.get(sign)!);
}

const NOTE_MENDS: ReadonlyMap<string, NoteMend> = new Map<string, NoteMend>([
  ['lead-token', readable],
  ['lead-string', onNeck],
  ['lead-fret', onFret],
  ['lead-reach', (typed, string, _, message) => reached(message, typed, string)],
  ['lead-bend', (typed) => typed.replace(/b(?:\.5|1\.5|1)r?/u, '')],
  ['lead-vibrato', (typed) => typed.replace('~', '')],
  ['lead-hold', () => 'r'],
  ['lead-twice', (typed) => typed.split('+').filter(isFirstOfString).join('+')],
]);

/** What is wrong with a whole bar: its length, or that its section is over. */
function barEdits(code: string, part: PartText, where: LeadWhere): readonly TextEdit[] | undefined {
  if (code === 'lead-past-section') return cutFrom(part, where.bar);
  return code === 'lead-bar-length' && where.lasts
    ? filled(part, where.bar, where.lasts)
    : undefined;
}

function cutFrom(part: PartText, bar: number): readonly TextEdit[] {
  const end = tokensOf(part.text)[bar - 1]?.end ?? 0;
  return [{ ...at(part, end, part.text.length - end), text: ' |' }];
}

/** Entries after the bar's end go; what is missing is rested. The next bar keeps its note value. */
function filled(part: PartText, index: number, wanted: Rational): readonly TextEdit[] | undefined {
  const bars = tokensOf(part.text);
  const { tokens, end } = bars[index]!;
  let value = valueBefore(bars, index);
  let played = ZERO;
  let cut = end;
  for (const { text, at: from, isValue } of tokens) {
    if (isValue) {
      value = text;
      continue;
    }
    const next = add(played, lengthOf(value));
    if (compare(next, wanted) > 0) {
      cut = from;
      break;
    }
    played = next;
  }
  const rests = restsFor(sub(wanted, played));
  if (rests === undefined) return undefined;
  const kept = tokens.filter(({ at: from }) => from < cut);
  const tail = kept.at(-1)?.isValue ? kept.at(-1)!.at : cut;
  const before = part.text.slice(0, tail).trimEnd().length;
  const edit = { ...at(part, before, end - before), text: rests === '' ? '' : ` ${rests}` };
  const follows = bars[index + 1]?.tokens[0];
  const running = lastValue(tokens) ?? valueBefore(bars, index);
  const changed = rests !== '' || tail < end;
  return follows && !follows.isValue && changed
    ? [edit, { ...at(part, follows.at, 0), text: `${running} ` }]
    : [edit];
}

const lastValue = (tokens: readonly LeadToken[]): string | undefined =>
  tokens.findLast(({ isValue }) => isValue)?.text;

/** Eighths where nothing is said, as the notation has it. */
const valueBefore = (bars: ReturnType<typeof tokensOf>, index: number): string =>
  lastValue(bars.slice(0, index).flatMap(({ tokens }) => tokens)) ?? '8';

const SHAPES: ReadonlyMap<string, NoteValue['shape']> = new Map([
  ['.', 'dotted'],
  ['t', 'triplet'],
]);

function lengthOf(text: string): Rational {
  const shape = SHAPES.get(text.at(-1)!) ?? 'plain';
  return valueLength({ of: Number.parseInt(text, 10) as NoteValue['of'], shape });
}

const RESTS = ['1', '2', '4', '8', '16'];
const TRIPLETS = ['8t', '16t'];

/** "4 r 8 r": as few rests as make the length, longest first; undefined for lengths that none make. */
function restsFor(length: Rational): string | undefined {
  let left = length;
  let said = '';
  const out: string[] = [];
  for (const value of [...TRIPLETS, ...RESTS]) {
    const isOver = (): boolean => TRIPLETS.includes(value) && left.d % 3 !== 0;
    while (compare(left, lengthOf(value)) >= 0 && !isOver()) {
      if (value !== said) out.push(value);
      said = value;
      out.push('r');
      left = sub(left, lengthOf(value));
      if (out.length > 40) return undefined;
    }
  }
  return compare(left, rational(0)) === 0 ? out.join(' ') : undefined;
}
