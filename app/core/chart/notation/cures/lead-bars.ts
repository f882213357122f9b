// Cures for bars of lead lines that are too short or too long, or lie past the end of their section.
import {
  type Rational,
  ZERO,
  add,
  compare,
  equals,
  mul,
  rational,
  sub,
} from '../../../base/rational.ts';
import type { TextEdit } from '../../../base/result.ts';
import type { LeadToken, LeadWhere } from '../../../lead/notation.ts';
import { type NoteValue, valueLength } from '../../../model/lead.ts';
import { type PartText, type ReadPart, at, readPart } from './lead-text.ts';

/** What is wrong with a whole bar: its length, or that its section is over. */
export function barEdits(
  code: string,
  part: PartText,
  where: LeadWhere,
): readonly TextEdit[] | undefined {
  if (code === 'lead-past-section') return cutFrom(part, where.bar);
  if (code !== 'lead-bar-length' || !where.lasts) return undefined;
  return (
    otherValue(part, where.bar, where.lasts) ??
    parted(part, where.bar, where.lasts) ??
    filled(part, where.bar, where.lasts)
  );
}

/** Notes without a value of their own fill their bar with another one: four notes in 4/4 are quarters. */
function otherValue(
  part: PartText,
  index: number,
  wanted: Rational,
): readonly TextEdit[] | undefined {
  const { bars } = readPart(part);
  const { tokens } = bars[index]!;
  if (tokens.length === 0 || tokens.some(({ isValue }) => isValue)) return undefined;
  const value = PLAIN_VALUES.find((one) =>
    equals(mul(lengthOf(one), rational(tokens.length)), wanted),
  );
  if (value === undefined) return undefined;
  const edit = { ...at(part, tokens[0]!.at, 0), text: `${value} ` };
  const follows = bars[index + 1]?.tokens[0];
  // Bars behind that run on in the same way are meant alike.
  const isAlike = bars[index + 1]?.tokens.length === tokens.length;
  return follows && !follows.isValue && !isAlike
    ? [edit, { ...at(part, follows.at, 0), text: `${valueBefore(bars, index)} ` }]
    : [edit];
}

const PLAIN_VALUES = ['4', '2', '8', '16', '1', '4.', '8.', '8t', '4t'];

/** Two bars or more without a bar line between them get it, where one ends between two notes. */
function parted(part: PartText, index: number, wanted: Rational): readonly TextEdit[] | undefined {
  const { bars } = readPart(part);
  let value = valueBefore(bars, index);
  let played = ZERO;
  const lines: TextEdit[] = [];
  for (const token of bars[index]!.tokens) {
    if (equals(played, wanted)) {
      lines.push({ ...at(part, token.at, 0), text: '| ' });
      played = ZERO;
    }
    if (token.isValue) value = token.text;
    else played = add(played, lengthOf(value));
  }
  return lines.length > 0 && equals(played, wanted) ? lines : undefined;
}

function cutFrom(part: PartText, bar: number): readonly TextEdit[] {
  const end = readPart(part).bars[bar - 1]?.end ?? 0;
  return [{ ...at(part, end, part.text.length - end), text: ' |' }];
}

/** Entries after the bar's end go; what is missing is rested. The next bar keeps its note value. */
function filled(part: PartText, index: number, wanted: Rational): readonly TextEdit[] | undefined {
  const { bars } = readPart(part);
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
const valueBefore = (bars: ReadPart['bars'], index: number): string =>
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
export function restsFor(length: Rational): string | undefined {
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
