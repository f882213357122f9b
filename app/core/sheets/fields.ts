// What a sheet says about the whole song: key, capo, tempo, meter, feel, tuning, strum, form, title, writer.
import { Remembered } from '../base/remembered.ts';
import { isTold, STRUM } from './strum.ts';
import { MOST_KNOWN } from './text.ts';

export interface FieldValues {
  title?: string;
  by?: string;
  key?: string;
  capo?: number;
  tempo?: number;
  /** The counted note as charts write it, where it is told: "q.", "h". */
  counted?: string;
  /** With its groups where they are told: "5/4", "7/8 (2+2+3)". */
  meter?: string;
  /** As charts write it. */
  feel?: string;
  /** A tuning's name or its notes, as charts write them. */
  tuning?: string;
  /** Strokes as typed: "D DU UDU". */
  strum?: string;
  /** Of the guitar, where it has not six. */
  strings?: number;
  /** Names of sections in the order in which they are played. */
  form?: readonly string[];
}

const ROMAN = ['', 'i', 'ii', 'iii', 'iv', 'v', 'vi', 'vii', 'viii', 'ix', 'x'];

/** A name of the song or of who made it, behind its word. */
const NAMED =
  /^\(?(title|song|titel|artist|author|by|writer|composer|interpret|(?:words|text|worte|lyrics)(?:\s*(?:and|und|&|\/|\+)\s*(?:music|musik|weise))?|(?:music|musik)(?:\s*(?:and|und|&|\/|\+)\s*(?:words|text|lyrics))?)\s*[:=]\s*([^()]+)\)?$/iu;

const CAPO =
  /(?<!\b(?:no|without|ohne|kein)\s)\b(?:capo|kapodaster|kapo)(?:\s*(?:on|at|:|=|\.|im|in|-|–))*\s*(?:fret|the|bund)?\s*(\d{1,2}|[ivx]{1,4}|none|no|[-–—](?=\s|$))(?:st|nd|rd|th|\.)?(?:\s*(?:fret|bund))?(?![\p{L}\d/])/iu;
const NO_CAPO = /\b(?:no|without(?: a)?|ohne|kein)\s+(?:capo|kapodaster|kapo)\b/iu;
const KEY =
  /(?<!\b[Oo]riginal )\b(?:[Kk]ey|KEY|[Tt]onart)(?:\s+of)?\s*[-–:=]?\s*([A-H](?:is|es|[#b♯♭])?)\s*(m(?:in(?:or)?)?|moll|maj(?:or)?|dur)?(?![\p{L}\d#])/u;
const ORIGINAL_KEY =
  /\b[Oo]riginal key(?:\s+of)?\s*[-–:=]?\s*([A-H](?:is|es|[#b♯♭])?)\s*(m(?:in(?:or)?)?|maj(?:or)?)?(?![\p{L}\d#])/u;
/** "♩. = 58", "dotted quarter = 58", "q. = 58", "half note = 60". */
const COUNTED =
  /(?:\b(?:tempo|speed)\s*[-:=]?\s*)?(?:(dotted[ -])?(quarter|eighth|half|crotchet|quaver|minim|viertel|achtel|halbe)s?(?:[ -]?notes?)?|(?<!\p{L})([qhe♩♪])(\s?\.)?)\s*=\s*(?:ca\.?\s*|about\s*)?(\d{2,3})(?:\s*bpm)?(?!\d)/iu;
const TEMPO =
  /(?:\b(?:tempo|bpm|speed)\s*[-:=]?\s*(?:\p{L}+ ){0,3}\(?(?:ca\.?|about|approx\.?|~|etwa)?\s*(\d{2,3})(?:\s*bpm)?|(\d{2,3})\s*(?:bpm|b\.p\.m\.))(?!\d)/iu;
const METER =
  /\b(?:time(?: signature)?|meter|metre|takt)\s*[:=]?\s*(\d{1,2}\/\d{1,2})(?!\d)(?:\s*[=:]?\s*\(?(\d(?:\+\d)+)\)?)?|(?<![\d/.]|(?:page|seite|p\.|part|sheet|track|no\.)\s?)(\d{1,2}\/(?:4|8|16|2))(?![\d/.]\d|\d|\/)(?:[- ]?(?:time|takt)\b)?(?:\s*[=:]?\s*\(?(\d(?:\+\d)+)\)?)?/iu;
const FEEL =
  /\bfeel\s*[:=]\s*(shuffled?|swing|swung|straight|triplets?)(?: (?:feel|eighths?|8ths?))?(?![\p{L}\d])|\b(shuffled?(?: feel| rhythm| beat)?|swung(?: eighths?| 8ths?)?|swing(?: eighths?| 8ths?| feel| time)|(?:medium|slow|fast|light) swing|triplet feel|(?<=(?:^|[/,;|•·])\s*)swing(?=\s*(?:$|[/,;|•·]))|straight (?:eighths?|8ths?|feel))\b/iu;
const TUNED =
  /\b(?:tuning|stimmung|tuned(?: to)?|gestimmt(?: auf)?)\s*[:=]?\s*([^,;|•()]+?)(?=\s{2,}|[,;|•()]|$)/iu;

/** Tunings as people name them (common practice, no source). */
const TUNING_WORDS: readonly (readonly [RegExp, string])[] = [
  [/\b(?:standard|normal)(?:[- ](?:tuning|stimmung))?(?![\p{L}\d])/iu, 'standard'],
  [/\bdrop(?:ped)?[- ]?d(?:[- ]tuning)?(?![\p{L}\d♭#b])/iu, 'drop D'],
  [/\bopen[- ]g(?:[- ]tuning)?(?![\p{L}\d♭#b])/iu, 'open G'],
  [/\bopen[- ]d(?:[- ]tuning)?(?![\p{L}\d♭#b])/iu, 'open D'],
  [/\bdadgad(?:[- ]tuning)?\b/iu, 'DADGAD'],
  [
    /\b(?:(?:tuned? |all )*(?:down|lower(?:ed)?) (?:a |one |by a )?(?:half|1\/2|semi)[- ]?(?:step|tone)|(?:half|1\/2|semi)[- ]?(?:step|tone)s? (?:down|lower)|e(?:♭|b)[- ]tuning|halbton tiefer)(?![\p{L}\d])/iu,
    'half step down',
  ],
  [
    /\b(?:(?:tuned? |all )*(?:down|lower(?:ed)?) (?:a |one |by a )?(?:whole|full)[- ]?(?:step|tone)|(?:whole|full)[- ]?(?:step|tone) (?:down|lower)|ganzton tiefer)(?![\p{L}\d])/iu,
    'whole step down',
  ],
];
/** Only behind the word "tuning". */
const TUNING_SHORT: readonly (readonly [RegExp, string])[] = [
  [/^e(?:♭|b|s)$/iu, 'half step down'],
  [/^d$/iu, 'whole step down'],
  [/^e$/iu, 'standard'],
];

/** The facts that stand in a text, and what is left of it; of any text, also one that says other things as well. */
export function factsIn(text: string): { readonly found: FieldValues; readonly rest: string } {
  const found: FieldValues = {};
  let rest = text;
  const take = (pattern: RegExp, keep: (match: RegExpExecArray) => boolean | void): void => {
    const match = pattern.exec(rest);
    if (!match || keep(match) === false) return;
    rest = rest.replace(match[0], ' ');
  };
  take(CAPO, ([, value]) => {
    found.capo = /^\d/u.test(value!)
      ? Number(value)
      : Math.max(0, ROMAN.indexOf(value!.toLowerCase()));
  });
  take(NO_CAPO, () => {
    found.capo ??= 0;
  });
  for (const key of [KEY, ORIGINAL_KEY])
    take(key, ([, root, mode]) => {
      found.key ??= `${keyRoot(root!)}${mode && /^m(?!aj)/iu.test(mode) ? ' minor' : ''}`;
    });
  take(COUNTED, ([, dotted, note, sign, dot, bpm]) => {
    found.tempo = Number(bpm);
    found.counted = countedNote((note ?? sign)!, dotted !== undefined || dot !== undefined);
  });
  take(TEMPO, ([, a, b]) => {
    found.tempo ??= Number(a ?? b);
  });
  take(METER, ([, told, toldGroups, bare, groups]) => {
    const meter = (told ?? bare)!;
    const above = Number(meter.split('/')[0]);
    if (told === undefined && (above < 2 || above > 15)) return false;
    const grouped = toldGroups ?? groups;
    found.meter = grouped === undefined ? meter : `${meter} (${grouped})`;
    return true;
  });
  take(FEEL, ([, told, said]) => {
    found.feel = /^straight/iu.test((told ?? said)!) ? 'straight' : 'swing 8 2:1';
  });
  take(STRUM, ([, sign, strokes]) => {
    if (!isTold(sign, strokes!)) return false;
    found.strum = strokes!.trim();
    return true;
  });
  takeTuning(take, found);
  return { found, rest };
}

/** "7-string", "four strings"; twelve strings are six pairs. */
const STRINGS = /\b(4|5|7|8|9|four|five|seven|eight|nine)[- ]?string(?:s|ed)?\b/iu;
const NUMBERS = new Map([
  ['four', 4],
  ['five', 5],
  ['seven', 7],
  ['eight', 8],
  ['nine', 9],
]);

function takeTuning(
  take: (pattern: RegExp, keep: (match: RegExpExecArray) => boolean | void) => void,
  found: FieldValues,
): void {
  take(STRINGS, ([, typed]) => {
    found.strings = NUMBERS.get(typed!.toLowerCase()) ?? Number(typed);
  });
  take(TUNED, ([, typed]) => {
    const text = typed!.trim();
    const short = TUNING_SHORT.find(([pattern]) => pattern.test(text))?.[1];
    const named = TUNING_WORDS.find(([pattern]) => pattern.test(text))?.[1];
    found.tuning = short ?? named ?? text;
  });
  for (const [pattern, name] of TUNING_WORDS)
    take(pattern, () => {
      found.tuning ??= name;
    });
}

function countedNote(word: string, dotted: boolean): string {
  const note = /^(?:h|minim)/iu.test(word)
    ? 'h'
    : /^(?:e|♪|quaver|achtel)/iu.test(word)
      ? 'e'
      : 'q';
  return `${note}${dotted ? '.' : ''}`;
}

/** "Form: Intro, A, A, B", "Ablauf: Intro – Strophe – Refrain". */
function formOf(text: string): readonly string[] | undefined {
  const [, names] = /^(?:form|order|structure|ablauf)\s*[:=]\s*(.+)$/iu.exec(text) ?? [];
  const parts = names?.split(/\s*(?:[/,;|>→]|\s[-–—]+>?\s)\s*/u).filter((part) => part !== '');
  return parts && parts.length > 1 ? parts : undefined;
}

const known = new Remembered<string, Readonly<FieldValues> | undefined>(MOST_KNOWN);

/** Undefined for a line that says anything else; several may stand on one line, e.g. "Key: G   Capo 2". */
export const fieldOf = (line: string): Readonly<FieldValues> | undefined =>
  known.of(line, () => findField(line));

function findField(line: string): FieldValues | undefined {
  const text = line.trim();
  const form = formOf(text);
  if (form) return { form };
  const { found, rest: left } = factsIn(text);
  // Alone on its line a word for a feel may be sung.
  const sure = found.feel === undefined || Object.keys(found).length > 1 || /\bfeel\b/iu.test(text);
  let rest = left;
  const named = NAMED.exec(rest.trim());
  if (named) {
    if (/^(?:title|song|titel)$/iu.test(named[1]!)) found.title = named[2]!.trim();
    else found.by = named[2]!.trim();
    rest = '';
  }
  if (Object.keys(found).length > 0) rest = rest.replace(/\([^()]*\)/gu, ' ');
  const said = Object.keys(found).length > 0 || rest.trim() === '';
  return said && sure && /^[\s,;|•·()/.–-]*$/u.test(rest) ? found : undefined;
}

/** Fis and Es are F♯ and E♭; a key of H is B. */
const keyRoot = (root: string): string =>
  root
    .replace(/^H/u, 'B')
    .replace(/^([A-G])is$/u, '$1#')
    .replace(/^([AE])s$|^([A-G])es$/u, (_, a?: string, b?: string) => `${a ?? b}b`);
