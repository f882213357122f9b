// Cures for the typed parts of lead lines, and the very sign of the part at which each mistake stands.
import type { Problem, Remedy, TextEdit, TextSpan } from '../../../base/result.ts';
import { leadNeck } from '../../../lead/realise.ts';
import type { LeadToken, LeadWhere } from '../../../lead/notation.ts';
import { namedStrings } from '../../../harmony/tunings.ts';
import type { ChartBody } from '../../../model/chart.ts';
import { barEdits } from './lead-bars.ts';
import { isNoteName, placedNames } from './lead-names.ts';
import { type PartText, type ReadPart, at, readPart } from './lead-text.ts';

/** What of a chart a part is played on. */
type Setting = Pick<ChartBody, 'tuning' | 'capo'>;

/** The problem of a part at its own sign, with a cure where one is known. */
export function withLeadCure(
  problem: Problem,
  part: PartText,
  where: LeadWhere | undefined,
  setting: Setting,
): Problem {
  const bar = where && readPart(part).bars[where.bar];
  if (!where || !bar)
    return { ...problem, span: problem.span ?? at(part, 0, Math.max(1, part.text.length)) };
  const token = tokenAt(bar.tokens, where);
  const span = token ? at(part, token.at, token.text.length) : barSpan(part, bar);
  const edits =
    (token && tokenEdits(problem, token, part, setting)) ?? barEdits(problem.code, part, where);
  return { ...problem, span, ...(edits && { remedy: remedyOf(edits) }) };
}

/** Names are more than one sign of a part: all that they become is said. */
const isTune = (edits: readonly TextEdit[]): boolean =>
  edits.length > 1 && edits.every(({ text }) => /^[1-6]\//u.test(text));

/** Characters of a part that is placed as a whole; each of its names asks for it anew. */
const LONGEST_TUNE = 240;

function tokenEdits(
  { code, message }: Problem,
  token: LeadToken,
  part: PartText,
  setting: Setting,
): readonly TextEdit[] | undefined {
  const { bars, stringBefore } = readPart(part);
  const isShort = part.text.length <= LONGEST_TUNE;
  const all = isShort ? bars.flatMap(({ tokens }) => tokens) : [];
  if (code === 'lead-token' && isShort && isNoteName(token.text, all)) {
    // One name is hardly alone: a tune typed by its names is placed as a whole.
    const placed = placedNames(all, namedStrings(setting.tuning));
    return all.flatMap((one) => {
      const text = placed.get(one.at);
      return text === undefined ? [] : [{ ...at(part, one.at, one.text.length), text }];
    });
  }
  const mend = NOTE_MENDS.get(code);
  const meant = mend?.(token.text, stringBefore.get(token) ?? 3, setting, message);
  return meant === undefined
    ? undefined
    : [{ ...at(part, token.at, token.text.length), text: meant }];
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

function barSpan(part: PartText, { tokens, end }: ReadPart['bars'][number]): TextSpan {
  const from = tokens[0]?.at ?? end;
  return at(part, from, Math.max(1, end - from));
}

function remedyOf(edits: readonly TextEdit[]): Remedy {
  if (edits.length > 0 && edits.every(({ text }) => text === '| '))
    return { label: 'Put in the bar line', edits };
  const texts = edits.map(({ text }) => text.trim());
  const said = isTune(edits) ? texts.join(' ') : texts.find((text) => /[\p{L}\d]/u.test(text));
  return { label: said === undefined ? 'Take it out' : `Write “${said}”`, edits };
}

/** One sign in place of another; `string` is that of the note before, 3 in the middle where there is none. */
type NoteMend = (
  typed: string,
  string: number,
  setting: Setting,
  message: string,
) => string | undefined;

const isFirstOfString = (note: string, index: number, all: readonly string[]): boolean =>
  all.findIndex((other) => other.split('/')[0] === note.split('/')[0]) === index;

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
  ['♩', '4'],
  ['♪', '8'],
]);

/** "3-7", "3:7" and "(3/7)" name string and fret; a fret alone stands on the string before. */
function readable(typed: string, string: number): string | undefined {
  const value = VALUES.get(typed.length > 1 ? typed.toLowerCase() : typed);
  if (value !== undefined) return value;
  if (/^(?:rest|z|_|\.)$/iu.test(typed)) return 'r';
  const plain = typed.replace(/[(),;]/gu, '');
  const [, on, fret] = /^([1-6])[-:.s]([0-9]{1,2}|x)$/iu.exec(plain) ?? [];
  if (on !== undefined) return `${on}/${fret}`;
  const joined = apart(plain);
  if (joined !== undefined) return joined;
  if (/^(?:\d{1,2}|x)[~^]*$/u.test(plain)) return `${string}/${plain}`;
  if (/^[hp/\\](?:\d{1,2}|x)/u.test(plain)) return `${string}/${plain.slice(1)}`;
  const [, note, bend] = /^((?:[1-9]\/)?[hp/\\]?\d{1,2})b(.*)$/u.exec(plain) ?? [];
  if (note !== undefined) return `${note}b${bendMeant(bend!)}`;
  const shaken = /^((?:[1-6]\/)?[hp/\\]?\d{1,2})(?:v|vib|\*|tr)$/iu.exec(plain)?.[1];
  return shaken === undefined ? undefined : `${shaken}~`;
}

/** "3/5h7p5" and "3/5s7": a note and those that it leads to, without their spaces. */
function apart(text: string): string | undefined {
  const [, first, rest] = /^([1-6]\/\d{1,2})((?:[hps/\\]\d{1,2})+)$/iu.exec(text) ?? [];
  if (first === undefined) return undefined;
  let from = Number(first.split('/')[1]);
  const reached = [...rest!.matchAll(/([hps/\\])(\d{1,2})/giu)].map(([, sign, fret]) => {
    const to = Number(fret);
    const slide = to > from ? '/' : '\\';
    from = to;
    return `${/s/iu.test(sign!) ? slide : sign!.toLowerCase()}${to}`;
  });
  return [first, ...reached].join(' ');
}

const bendMeant = (bend: string): string => {
  const release = /r/u.test(bend) ? 'r' : '';
  if (/^(?:1\/2|\.5|½|half)/u.test(bend)) return `.5${release}`;
  return `${/^(?:1\.5|1½|3)/u.test(bend) ? '1.5' : '1'}${release}`;
};

/** "7/3" has string and fret the wrong way round; which string "8/9" means nobody knows. */
const onNeck: NoteMend = (typed) => {
  const turned = typed.replace(
    /(^|\+)(\d)\/([1-6])(?=\D|$)/gu,
    (note, joint: string, on: string, fret: string) =>
      Number(on) <= 6 ? note : `${joint}${fret}/${on}`,
  );
  return turned === typed ? undefined : turned;
};

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
