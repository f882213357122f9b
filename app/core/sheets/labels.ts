// What stands like the name of a section at the start of a line, whatever its frame: brackets, signs, a colon, nothing.
import { Remembered } from '../base/remembered.ts';
import { type Known, nameAtStart } from './section-words.ts';
import { MOST_KNOWN } from './text.ts';

/** What stands around the name: the sheet's other names tell how much it means. */
export type Frame =
  'square' | 'round' | 'curly' | 'angle' | 'signs' | 'lead' | 'colon' | 'capitals' | 'plain';

export interface Label {
  readonly name: string;
  readonly times: number;
  readonly frame: Frame;
  /** A name of the trade, a word that may be sung, a short form, a letter, a number, or a name of the sheet's own. */
  readonly known: Known | 'letter' | 'number' | 'own';
  /** Does it say that the section comes again? */
  readonly again: boolean;
  /** What follows on the line: chords, bars, words or a remark; '' where nothing does. */
  readonly rest: string;
  readonly restAt: number;
  /** What parts the name from the rest. */
  readonly parted: 'colon' | 'bracket' | 'sign' | 'room' | 'nothing';
}

const CLOSING = new Map([
  ['[', [']', 'square']],
  ['(', [')', 'round']],
  ['{', ['}', 'curly']],
  ['<', ['>', 'angle']],
  ['«', ['»', 'angle']],
] as const);

const COUNT =
  /^\s*[,.:–—-]?\s*[_*]*[([]?\s*(?:[x×*]\s*(\d{1,2})|(\d{1,2})\s*(?:[x×]|times|mal)(?!\p{L})|(twice|zweimal)|(dreimal|thrice))\s*[)\]]?[_*]*/iu;
const COUNT_AT_END = /\s*[([]?\s*(?:[x×]\s*(\d{1,2})|(\d{1,2})\s*[x×])\s*[)\]]?$/iu;
const SIGNS = /^[\s*=#~_/>»→•·▶►+–—-]+/u;
const CLOSING_SIGNS = /[\s*=#~_/<«←•·+–—-]+$/u;
const NOTHING = /^[\s:.*=#~_/<>»«\])}|–—-]*$/u;

const labels = new Remembered<string, Label | undefined>(MOST_KNOWN);

/** Undefined for a line that starts with nothing of the kind. */
export const labelOf = (line: string): Label | undefined => labels.of(line, () => findLabel(line));

function findLabel(line: string): Label | undefined {
  // In a table the name of a section has a cell of its own.
  const whole = line.replace(/^(\s*)[|‖](\s*[^|‖]+?)\s*[|‖]\s*$/u, '$1*$2').trimEnd();
  if (whole.trim() === '' || whole.length > 160) return undefined;
  const indent = whole.length - whole.trimStart().length;
  const signs = SIGNS.exec(whole.slice(indent))?.[0] ?? '';
  const at = indent + signs.length;
  const body = whole.slice(at);
  const frame: Frame = signs.trim() === '' ? 'plain' : CLOSING_SIGNS.test(body) ? 'signs' : 'lead';
  const [close, pair] = CLOSING.get(body[0] as '[') ?? [];
  const shut = close === undefined ? -1 : body.indexOf(close);
  return pair !== undefined && shut > 0
    ? inBrackets(whole, at, shut, pair)
    : unbracketed(whole, at, frame);
}

/** "[Verse 1: Ada] x2", "(Intro) G Em C D". */
function inBrackets(whole: string, at: number, shut: number, frame: Frame): Label | undefined {
  const inner = whole.slice(at + 1, at + shut).replace(/^[\s*=~-]+/u, '');
  const after = counted(whole, at + shut + 1);
  const name = known(inner.trimEnd(), true);
  if (!name) return undefined;
  const within = /[x×]\s*(\d{1,2})\s*$|(\d{1,2})\s*[x×]\s*$/iu.exec(inner);
  return {
    ...name,
    frame,
    times: after.times ?? Number(within?.[1] ?? within?.[2] ?? 1),
    ...restOf(whole, after.at, 'bracket'),
  };
}

function unbracketed(whole: string, at: number, frame: Frame): Label | undefined {
  const text = whole.slice(at);
  const found = nameAtStart(text);
  if (found) {
    const closing = frame === 'plain' ? 0 : /^\s?[*=#~_]*/u.exec(text.slice(found.end))![0].length;
    const after = counted(whole, at + found.end + closing);
    const rest = restOf(whole, after.at, 'nothing');
    return {
      name: tidy(found.name),
      known: found.known,
      again: found.again,
      times: after.times ?? rest.times ?? 1,
      frame: frame !== 'plain' ? frame : frameOf(found.name, whole.slice(after.at)),
      rest: rest.rest,
      restAt: rest.restAt,
      parted: rest.parted,
    };
  }
  return numberOrLetter(whole, at, frame) ?? ownName(whole, at, frame);
}

const frameOf = (name: string, after: string): Frame =>
  /^\s*:/u.test(after) ? 'colon' : isCapitals(name) ? 'capitals' : 'plain';

const isCapitals = (text: string): boolean =>
  /\p{Lu}{2}/u.test(text) && text === text.toUpperCase();

/** "Solo over A", "Outro like the intro": how it is played. */
export const TOLD = /^(?:over|on|as|like|with|without|wie|über|mit|ohne|nach)\s/iu;

type Named = Pick<Label, 'name' | 'known' | 'again'>;

/** What stands in a frame names a section, with whatever else is said there. */
function known(inner: string, framed: boolean): Named | undefined {
  const found = nameAtStart(inner);
  if (
    found &&
    (found.again ||
      TOLD.test(inner.slice(found.end).trim()) ||
      /^\s*(?:$|[^\p{L}\d\s]|[x×]\s*\d|\d+\s*[x×])/iu.test(inner.slice(found.end)))
  )
    return { name: tidy(found.name), known: found.known, again: found.again };
  const text = inner.replace(/[:.\s*=~-]+$/u, '').trim();
  if (/^[A-Z]['’]?$|^[A-Z]\d{1,2}$/u.test(text))
    return { name: text, known: 'letter', again: false };
  if (/^\d{1,2}$/u.test(text)) return { name: `Verse ${text}`, known: 'number', again: false };
  return framed && isName(text) ? { name: tidy(text), known: 'own', again: false } : undefined;
}

/** "1." and "2)" are verses, "A:" and "B" parts by letters; words may follow a number. */
function numberOrLetter(whole: string, at: number, frame: Frame): Label | undefined {
  const [, number, letter] =
    /^(?:(\d{1,2})(?:\s?[.):]{1,2}(?=\s|$)|(?=\s{2,}\[|\s*\(\p{L}{3,}[^()]*\)\s+\[))|([A-Z]\d?)['’]?(?:[.:]{1,2}(?=\s|$)|$|(?=\s*\(\p{L}{3,}|\s+[|‖])))/u.exec(
      whole.slice(at),
    ) ?? [];
  if (number === undefined && letter === undefined) return undefined;
  const length = /^\S+(?:\s[.):]+)?/u.exec(whole.slice(at))![0].length;
  return {
    name: letter ?? `Verse ${number!}`,
    known: letter === undefined ? 'number' : 'letter',
    again: false,
    times: 1,
    frame: /:$/u.test(whole.slice(at, at + length)) ? 'colon' : frame,
    ...restOf(whole, at + length, letter === undefined ? 'sign' : 'colon'),
  };
}

/** A name that no list has: "Landing:", "== Stairs ==", "LANDING", or a few words alone on their line. */
function ownName(whole: string, at: number, frame: Frame): Label | undefined {
  const [, head, colon, tail] = /^([^:|]+?)\s*(:)(?:\s+|$)(.*)$/u.exec(whole.slice(at)) ?? [];
  const text = (head ?? whole.slice(at)).replace(CLOSING_SIGNS, '');
  const times = /[x×]/iu.test(text) ? COUNT_AT_END.exec(text) : null;
  const name = text.slice(0, times?.index).trim();
  if (!isName(name)) return undefined;
  const rest = tail ?? '';
  return {
    name: tidy(name),
    known: 'own',
    again: false,
    times: Number(times?.[1] ?? times?.[2] ?? 1),
    frame: frame !== 'plain' ? frame : colon ? 'colon' : isCapitals(name) ? 'capitals' : 'plain',
    rest,
    restAt: whole.length - rest.length,
    parted: rest === '' ? 'nothing' : 'colon',
  };
}

/** Short, of letters, and no sentence. */
const isName = (text: string): boolean =>
  text.length <= 32 &&
  /\p{L}{2}/u.test(text) &&
  text.split(/\s+/u).length <= 4 &&
  !/[.!?,;…"“”|]|\s{2,}/u.test(text) &&
  !/^(?:laugh|page|seite|spoken|x\s?\d)/iu.test(text);

/** Counts and remarks in parentheses right behind a name. */
function counted(whole: string, from: number): { readonly at: number; readonly times?: number } {
  let at = from;
  let times: number | undefined;
  for (;;) {
    const behind = whole.slice(at);
    const count = COUNT.exec(behind);
    const remark = /^\s*(?:\([^()|]*\)|\[[^[\]|]*\p{L}{3}[^[\]|]*\])/u.exec(behind);
    const match =
      count ?? (remark && !/^\s*[([]\s*[A-H][^\s]{0,7}[)\]]/u.test(behind) ? remark : null);
    if (!match) return times === undefined ? { at } : { at, times };
    if (count) times ??= count[3] ? 2 : count[4] ? 3 : Number(count[1] ?? count[2]);
    at += match[0].length;
  }
}

interface Rest {
  readonly rest: string;
  readonly restAt: number;
  readonly parted: Label['parted'];
  readonly times?: number;
}

function restOf(whole: string, from: number, parted: Label['parted']): Rest {
  const behind = whole.slice(from);
  if (NOTHING.test(behind)) return { rest: '', restAt: whole.length, parted: 'nothing' };
  const sign = /^\s*(?:[.]?:+|[–—-]+(?=\s)|[,.;](?=\s)|\/|=+(?=\s)|>+(?=\s))\s*/u.exec(behind);
  const room = /^\s+/u.exec(behind);
  const skip = sign ?? room;
  const after = counted(whole, from + (skip?.[0].length ?? 0));
  const gap = /^\s*/u.exec(whole.slice(after.at))![0].length;
  const restAt = after.at + gap;
  const rest = whole.slice(restAt);
  const by = sign
    ? /:/u.test(sign[0])
      ? 'colon'
      : 'sign'
    : (room?.[0].length ?? 0) > 1
      ? 'room'
      : 'nothing';
  return {
    rest: NOTHING.test(rest) && !/[|]/u.test(rest) ? '' : rest,
    restAt,
    parted: parted === 'nothing' ? by : parted,
    ...(after.times !== undefined && { times: after.times }),
  };
}

function tidy(name: string): string {
  const text = name
    .replace(/\s+/gu, ' ')
    .replace(/[:.\s]+$/u, '')
    .trim();
  const word =
    text === text.toUpperCase() || text === text.toLowerCase() ? text.toLowerCase() : text;
  return word.charAt(0).toUpperCase() + word.slice(1);
}
