// What each line of a sheet may be, and how unlikely each reading is by the line itself and its place.
import type { Dialect } from './dialect.ts';
import { type FieldValues, fieldOf } from './fields.ts';
import { RUNNING_HEAD, STAFF_OF_TAB, whyLeftOut } from './ignore.ts';
import { type Frame, type Label, TOLD, labelOf } from './labels.ts';
import { type Token, bracketedIn, tokensOf } from './tokens.ts';

/** What a line does in the sheet; `about` stands above the song (its title, its writer, a word on it), `foot` below it. */
export type Kind =
  'about' | 'heading' | 'row' | 'words' | 'inline' | 'bars' | 'foot' | 'field' | 'left';

export interface Reading {
  readonly kind: Kind;
  /** The larger, the less likely: a weight of evidence (natural logarithms, set by hand on our own sheets). */
  readonly cost: number;
  readonly label?: Label;
  /** What follows the heading on its line. */
  readonly rest?: 'row' | 'words' | 'inline' | 'bars';
  /** Of words with a row of chords behind them on their line: where the row starts. */
  readonly rowAt?: number;
  readonly field?: FieldValues;
  readonly why?: string;
}

/** A line with its place: what stands around it. */
export interface Line {
  readonly text: string;
  /** In the sheet, from 1. */
  readonly number: number;
  /** Does an empty line stand before it (or what is no song), and behind it? */
  readonly gap: boolean;
  readonly open: boolean;
  readonly tokens: readonly Token[];
  readonly label: Label | undefined;
  /** How far it looks like a row of chords rather than words: below 0 where a row is likelier. */
  readonly lean: number;
}

/** Never: a reading that the line rules out. */
const NEVER = 1_000;
/** Chord names that are words as well, in one of the languages sheets come in. */
const EVERYDAY = /^(?:A|Am|As|Es|Ab|Des|Dim|Add|am|as|es|des|ab|fes|dis|a|e)$/u;

/** How surprising a chord's name would be as a word that is sung. */
function surprise({ text }: Token): number {
  const bare = text.replace(/^[('"“]+|[)'"”.,;:!?]+$/gu, '');
  if (EVERYDAY.test(bare)) return 0.5;
  if (/^[A-Ha-h]$/u.test(bare)) return /[,!?]$/u.test(text) ? 1.5 : 2.5;
  if (/^[A-Ha-h]m$/u.test(bare)) return 3;
  return /[\d#♯♭/+°øΔ]/u.test(bare) ? 5 : 4;
}

const WIDE = /\S {3,}(?=\S)/gu;

/** @returns Infinity-like where the line has no chord. */
export function rowCost(tokens: readonly Token[], text: string): number {
  const chords = tokens.filter(({ role }) => role === 'chord');
  if (chords.length === 0) return NEVER;
  const lastChord = tokens.findLastIndex(({ role }) => role === 'chord');
  const wide = text.match(WIDE)?.length ?? 0;
  let cost = 0;
  tokens.forEach(({ role, text: word }, i) => {
    if (role === 'word') {
      if (i > lastChord) cost += i === lastChord + 1 ? (chords.length > 1 ? 2.5 : 4) : 0.7;
      else if (/^[A-H][^aeiou]{0,7}$/u.test(word) || /^[A-H]\S*[\d#♯♭]/u.test(word)) cost += 3;
      else cost += /\p{L}/u.test(word) ? 6.5 : 2.5;
    }
    if (role === 'remark') cost += /\)$/u.test(word) ? 0.3 : i > lastChord ? 0.5 : 1.5;
    if (role === 'chord' && EVERYDAY.test(word)) cost += 0.4;
  });
  if (chords.length === 1 && tokens.length === 1 && EVERYDAY.test(chords[0]!.text)) cost += 0.6;
  return Math.max(0, cost - Math.min(2, wide * 0.7));
}

/** How unlikely it is that this is sung. */
export function wordsCost(tokens: readonly Token[], text: string): number {
  const chords = tokens.filter(({ role }) => role === 'chord');
  const others = tokens.filter(({ role }) => role === 'word' || role === 'remark');
  const wide = text.trim().match(WIDE)?.length ?? 0;
  const spelt = others.some(({ text: word }) => /^\p{Ll}{2,}/u.test(word)) && wide === 0;
  const [letters, names] = [true, false].map((single) =>
    chords
      .filter(({ text: word }) => /^[A-Ha-h][,.;!?]?$/u.test(word) === single)
      .reduce((sum, token) => sum + surprise(token), 0),
  ) as [number, number];
  // "A B C and D E F": letters between words say less the more of them there are.
  const said = names + (spelt ? Math.min(4, letters) : letters);
  const bare = others.length === 0 ? (chords.length > 0 ? 1.5 : 2.5) : 0;
  return said + bare + (chords.length > 0 ? Math.min(3, wide) : 0);
}

/** What is known of the sheet before its lines are read together. */
export interface Manner {
  readonly dialect: Dialect;
  /** Its first line, which pages may repeat. */
  readonly top: string | undefined;
  /** How often each frame stands around a name of the trade. */
  readonly frames: ReadonlyMap<Frame, number>;
  readonly headings: number;
  /** How many lines are a short form of a name and nothing else. */
  readonly shorts: number;
  /** Are its parts called by letters, each alone above its chords? */
  readonly lettered: boolean;
  /** Do names and letters stand before bars in a margin of their own, so that no line of bars begins with a chord? */
  readonly margin: boolean;
  /** Do several chords of a line stand in brackets? */
  readonly bracketed: boolean;
  /** The share of its lines of words that have chords. */
  readonly covered: number;
  /** Do most of its words stand in capitals? */
  readonly loud: boolean;
}

export function linesIn(
  numbered: readonly { readonly text: string; readonly number: number }[],
  dialect: Dialect,
): readonly Line[] {
  const lines: Line[] = [];
  numbered.forEach(({ text, number }, i) => {
    if (text.trim() === '') return;
    const tokens = tokensOf(text, dialect.symbolOf);
    const blank = (k: number): boolean => (numbered[k]?.text ?? '').trim() === '';
    lines.push({
      text,
      number,
      gap: blank(i - 1) || whyLeftOut(numbered[i - 1]!.text) !== undefined,
      open: blank(i + 1),
      tokens,
      label: labelOf(text),
      lean: rowCost(tokens, text) - wordsCost(tokens, text),
    });
  });
  return lines;
}

export function mannerOf(lines: readonly Line[], dialect: Dialect): Manner {
  const frames = framesOf(lines, dialect);
  const headings = [...frames.values()].reduce((sum, count) => sum + count, 0);
  const shorts = lines.filter(
    ({ label, gap }, i) =>
      label?.known === 'short' && label.rest === '' && (gap || (lines[i + 1]?.lean ?? 0) < 0),
  ).length;
  const letters = lines.filter(
    ({ label, gap, open }, i) =>
      label?.known === 'letter' &&
      label.rest === '' &&
      gap &&
      !open &&
      (lines[i + 1]?.lean ?? 0) < 0,
  );
  const lettered = letters.length > 1 && letters[0]!.label!.name === 'A';
  const sung = lines.filter(({ lean }) => lean > 0);
  const loud = sung.filter(({ text }) => text === text.toUpperCase()).length > sung.length * 0.6;
  const covered = coveredIn(lines);
  const top = lines[0]?.text.trim();
  const margin = hasMargin(lines);
  const bracketed = lines.some(({ text }) => bracketedIn(text, dialect.symbolOf).length > 1);
  return { dialect, top, frames, headings, shorts, lettered, margin, bracketed, covered, loud };
}

/** Before the first bar line of each line of bars stands a name, a letter or nothing, and not always a letter. */
function hasMargin(lines: readonly Line[]): boolean {
  const barred = lines.filter(({ text }) => /[|‖].*[|‖]/u.test(text));
  const before = barred.map(({ text, label }) => {
    const head = /^[^|‖]*/u.exec(text)![0].trim();
    if (head === '' || head === ':') return 'nothing';
    return label && label.known !== 'own' && /^\s*[|‖:]/u.test(text.slice(label.restAt - 1))
      ? label.known
      : 'other';
  });
  // A short form of a name is a letter, too: "C" alone is a chord as well as a chorus.
  return !before.includes('other') && before.some((kind) => kind !== 'letter' && kind !== 'short');
}

/** "[B]" alone on its line, where no chords stand in brackets. */
const isPart = (label: Label | undefined, { bracketed }: Manner): boolean =>
  !bracketed && label?.known === 'letter' && label.frame === 'square' && label.rest === '';

/** "A:  D5 | G", "A   |: Em | G": a letter that names a part, not the chord. */
const isLetterOf = (label: Label | undefined, { margin }: Manner): boolean =>
  label !== undefined &&
  label.rest !== '' &&
  (label.known === 'letter'
    ? margin || label.frame === 'colon'
    : label.known === 'short' && margin && /^[A-Z]$/u.test(label.name));

/** Between its first chords and its last ones. */
function coveredIn(lines: readonly Line[]): number {
  const has = lines.map(
    ({ text, lean, gap }, i) =>
      /\[.+\]/u.test(text) || (!gap && lean > 0 && (lines[i - 1]?.lean ?? 0) < 0),
  );
  const sung = lines
    .map(({ lean, label }, i) => ({ sung: lean > 0 && label?.known !== 'name', has: has[i]! }))
    .slice(has.indexOf(true), has.lastIndexOf(true) + 1)
    .filter((line) => line.sung);
  return sung.filter((line) => line.has).length / Math.max(1, sung.length);
}

/** How often each frame stands around a name of the trade; where none has one, around what stands above chords. */
function framesOf(lines: readonly Line[], { inline }: Dialect): ReadonlyMap<Frame, number> {
  const count = (isHeading: (label: Label, i: number) => boolean): Map<Frame, number> => {
    const frames = new Map<Frame, number>();
    lines.forEach(({ label }, i) => {
      if (label && isHeading(label, i)) frames.set(label.frame, (frames.get(label.frame) ?? 0) + 1);
    });
    return frames;
  };
  const known = count(
    ({ known: kind, rest, frame }, i) =>
      kind === 'name' && lines[i]!.lean >= 0 && !(rest !== '' && frame === 'plain'),
  );
  if (known.size > 0) return known;
  return count(
    ({ known: kind, rest, frame }, i) =>
      kind === 'own' &&
      rest === '' &&
      FRAMED.has(frame) &&
      lines[i]!.gap &&
      !lines[i]!.open &&
      ((lines[i + 1]?.lean ?? 0) < 0 || (inline && lines[i + 1]!.text.includes('['))),
  );
}

const FRAMED: ReadonlySet<Frame> = new Set([
  'square',
  'round',
  'curly',
  'angle',
  'signs',
  'lead',
  'colon',
]);

/** All that a line may be, each with what speaks against it. */
export function readingsOf(
  line: Line,
  next: Line | undefined,
  before: Line | undefined,
  manner: Manner,
): readonly Reading[] {
  const { text, tokens } = line;
  const field = fieldOf(text);
  if (field) return [{ kind: 'field', cost: 0, field }];
  const why = next === undefined && END.test(text) ? 'the end' : whyLeftOut(text);
  const heading = headingReadings(line, next, before, manner);
  if (why !== undefined) {
    const numbered = heading.filter(({ label }) => label?.known === 'number');
    const head: Reading[] = why === RUNNING_HEAD ? [{ kind: 'about', cost: 0 }] : [];
    return [{ kind: 'left', cost: 0.8, why }, ...numbered, ...head];
  }
  const { symbolOf, inline } = manner.dialect;
  const brackets = bracketedIn(text, symbolOf);
  const sounds = brackets.some(({ chords }) => chords.length > 0);
  const wordsIn = wordsCost(tokens, text);
  const row = rowCost(tokens, text);
  const asBars = barsCost(text, tokens) + (isLetterOf(line.label, manner) ? 3 : 0);
  const out: Reading[] = [...heading];
  if (asBars < NEVER) out.push({ kind: 'bars', cost: asBars });
  // Brackets alone on their line stand over the words, unless the sheet sets its chords between them.
  if (sounds && (inline || row >= 2))
    out.push({
      kind: 'inline',
      cost: line.label && NAMING.has(line.label.known) && PARTED.has(line.label.parted) ? 2 : 0,
    });
  // Who draws bar lines means them, with words under them, too.
  const drawn = asBars < NEVER && /[|‖].*[|‖]/u.test(text) ? 1.5 : 0;
  const parted = isPart(line.label, manner) ? 2 : 0;
  if (!(sounds && inline) && row < NEVER) out.push({ kind: 'row', cost: row + drawn + parted });
  const named = nameCost(line.label, line);
  if (!sounds) {
    out.push({ kind: 'words', cost: wordsIn + named });
    out.push({ kind: 'about', cost: wordsIn * 0.7 + named * 0.6 });
    const told = (isProse(text) ? 0.4 : 0) + (manner.covered > 0.8 ? 0.9 : 0);
    out.push({ kind: 'foot', cost: wordsIn + named + 0.7 - told });
  }
  const rowAt = sounds ? -1 : rowBehind(text);
  if (rowAt >= 0) {
    const behind = tokens.filter(({ at }) => at >= rowAt);
    const sung = tokens.filter(({ at }) => at < rowAt);
    const cost = rowCost(behind, '') + wordsCost(sung, text.slice(0, rowAt)) + 0.5;
    if (cost < NEVER) out.push({ kind: 'words', cost, rowAt });
  }
  if (text.trim() === manner.top && before !== undefined && line.label?.known !== 'name')
    out.push({ kind: 'left', cost: 0.4, why: RUNNING_HEAD });
  const remark = remarkCost(line);
  if (remark < NEVER) out.push({ kind: 'left', cost: remark, why: 'a note for the player' });
  return out;
}

const NAMING: ReadonlySet<Label['known']> = new Set(['name', 'weak']);
const PARTED: ReadonlySet<Label['parted']> = new Set(['colon', 'sign', 'bracket']);

/** A sentence that says something rather than being sung. */
const isProse = (text: string): boolean =>
  /[.!:]\s*$|^\s*\p{L}+:\s/u.test(text) && text.trim().split(/\s+/u).length > 2;

/** Where the last wide gap of a line ends, before which letters stand. */
function rowBehind(text: string): number {
  const parts = [...text.trimEnd().matchAll(/\S\s{3,}(?=\S)/gu)];
  const first = parts.find(({ index }) => /\p{L}{3}/u.test(text.slice(0, index)));
  return first ? first.index + first[0].length : -1;
}

const END = /^\W*(?:the end|end|ende|fine|fin)\W*$/iu;

/** A line that is nothing but a name of the trade is hardly sung. */
function nameCost(label: Label | undefined, line: Line): number {
  if (!label) return 0;
  if (label.rest !== '')
    return label.known === 'number' || (label.known === 'name' && label.parted === 'colon')
      ? 2.5
      : 0;
  const weight = { name: 2.8, weak: 1.2, short: 0.8, letter: 0.5, number: 2, own: 0 }[label.known];
  const more = label.times > 1 || /\)\W*$/u.test(line.text) ? 0.8 : 0;
  return weight + more + (label.frame === 'square' ? 2 : 0) + (line.gap || line.open ? 0.2 : 0);
}

const TO_PLAYER =
  /\b(?:play(?:ed)?|repeat(?:ed)?|fade|hold|stop|softly|slow(?:ly|er|s)?|loud(?:er|ly)?|quiet(?:ly)?|spoken|ad lib|let (?:it )?ring|palm|mute[ds]?|strum(?:ming|med|s)?|watch|keep|key change|modulat\w+|capo|tempo|chord|same chords|bars?|beats?|times|once more|tacet|a cappella|leise|laut|langsam\w*|schnell\w*|wiederholen|gesprochen|ausklingen|ab hier|from here|(?:an|ab)?ge(?:zupft|schlagen|dämpft)|zupfen|anschlagen|dämpfen|betont|pluck(?:ed)?|down ?strokes?|up ?strokes?|damp(?:en|ed)|(?:low|high|open) strings?|half[- ]time|double[- ]time|unison|same (?:\w+ )?as|wie (?:strophe|vers)|like (?:the )?verse|no guitar|fingers?|changes?|count)\b/iu;

/** "repeat 3x", "play all of it twice", "repeat from the top". */
const PLAY_AGAIN =
  /^(?:repeat|play|wdh\.?|wiederholen)\s+(?:\S+\s+){0,4}?(?:\d+\s*[x×]|[x×]\s*\d+|\d+\s+(?:times|mal)|twice|zweimal|dreimal|(?:from|to)\s+(?:the\s+)?(?:top|start|beginning|fade))\W*$/iu;

/** "(watch the G here)", "NB: …", "* let it ring". */
function remarkCost({ text, gap, open, label }: Line): number {
  const whole = text.trim();
  if (
    /^(?:note|nb|n\.b\.|tip|hint|hinweis|anmerkung|ps|work on|practi[sc]e|üben|achtung|remember|strum|pattern)\s*:/iu.test(
      whole,
    )
  )
    return 0.3;
  if (/^\S{1,6}\s+=\s+\p{L}/u.test(whole)) return 0.3;
  if (PLAY_AGAIN.test(whole)) return 0.3;
  const framed =
    /^(?:[([{][^()[\]{}]*[)\]}]|\*[^*]*\*)$/u.test(whole) || /^\*+\s*\p{L}/u.test(whole);
  const name = label?.known === 'name' && label.rest === '' ? 3 : 0;
  if (framed) return name + (TO_PLAYER.test(whole) ? 0.4 : 2.2 - (gap && open ? 0.4 : 0));
  return NEVER;
}

/** "| C | G Am |": all between the lines is chords, beats and similes. */
function barsCost(text: string, tokens: readonly Token[]): number {
  if (!/[|‖]/u.test(text)) return NEVER;
  const words = tokens.filter(({ role }) => role === 'word').length;
  const chords = tokens.filter(({ role, text: t }) => role === 'chord' || t === '%').length;
  return chords > 0 ? words * 2.5 : NEVER;
}

/** A name with nothing behind it. */
function aloneReadings(
  line: Line,
  label: Label,
  next: Line | undefined,
  cost: number,
  manner: Manner,
): Reading[] {
  const { known, frame } = label;
  // "Guitar figure:" says whose the tab staff under it is.
  const staff = next && !line.open && whyLeftOut(next.text) === STAFF_OF_TAB;
  if (staff && (known === 'own' || known === 'weak'))
    return [{ kind: 'left', cost: 0, why: STAFF_OF_TAB }];
  // "[Am]" alone is a chord where chords stand in brackets.
  if (known === 'letter' && frame === 'square' && manner.dialect.inline) return [];
  const own = known === 'own' ? ownCost(label, line, manner) : 0;
  const part = isPart(label, manner) ? 1 : 0;
  return [{ kind: 'heading', cost: Math.max(0, cost + own - part), label }];
}

function headingReadings(
  line: Line,
  next: Line | undefined,
  before: Line | undefined,
  manner: Manner,
): Reading[] {
  const { label } = line;
  if (!label) return [];
  const { symbolOf } = manner.dialect;
  const place = placeCost(line, next, before, label);
  const base = { name: 0.2, weak: 1, short: 0.9, letter: 1, number: 0.8, own: 4.4 }[label.known];
  const framed = frameCost(label, manner);
  if (label.rest === '') return aloneReadings(line, label, next, base + framed + place, manner);
  const { rest } = label;
  const tokens = tokensOf(rest, symbolOf);
  const sign = label.parted !== 'nothing';
  const readings: Reading[] = [];
  const add = (kind: NonNullable<Reading['rest']>, cost: number): void => {
    readings.push({ kind: 'heading', rest: kind, label, cost: base + Math.min(0, framed) + cost });
  };
  const bars = barsCost(rest, tokens);
  const row = rowCost(tokens, rest);
  const margin = inMargin(line, label, next, before);
  if (bars < NEVER) add('bars', bars - (isLetterOf(label, manner) ? base : 0));
  if (bracketedIn(rest, symbolOf).some(({ chords }) => chords.length > 0)) {
    if (sign && label.known !== 'own') add('inline', 0);
  } else if (row < NEVER) {
    const few = tokens.length < 2 && !sign ? 2 : 0;
    const wordy = wordsCost(tokens, rest) < row ? 2 : 0;
    const own = label.known === 'own' ? framed + place + ownCost(label, line, manner) : 0;
    add('row', Math.max(-base, row + few + wordy + own + (sign ? 0 : 0.5)));
  }
  if (label.known === 'own')
    return readings.filter(({ rest: kind }) => kind === 'row' || kind === 'bars');
  // "E. Larkin" is a name.
  const initial = label.known === 'letter' && label.frame !== 'colon';
  const parted = label.parted === 'colon' || (margin > 0 && label.parted === 'room');
  if (label.known === 'number' || (parted && !initial))
    add('words', wordsCost(tokens, rest) + (label.known === 'letter' ? 1.5 : 0.4) - margin);
  // "Chorus - all together", "Outro, slowing down": a remark behind the name.
  const short = rest.trim().split(/\s+/u).length;
  const told = label.parted === 'nothing' && label.known !== 'short' && TOLD.test(rest);
  if ((label.parted !== 'nothing' || told) && label.known !== 'number' && label.known !== 'letter')
    readings.push({
      kind: 'heading',
      label: { ...label, rest: '' },
      cost:
        base +
        framed +
        place +
        (told ? (rest.trimEnd().endsWith(':') ? 0 : 1.2) : 0.6) +
        Math.max(0, short - 3) * 0.7 +
        (row < wordsCost(tokens, rest) ? 3 : 0),
    });
  return readings;
}

/** How much speaks for a name in the margin, beside which chords and words are moved in. */
function inMargin(
  { text, gap }: Line,
  { restAt }: Label,
  next: Line | undefined,
  before: Line | undefined,
): number {
  if (before === undefined || gap || before.lean >= 0) return 0;
  const own = indentOf(text);
  const over = indentOf(before.text) >= restAt ? 0.7 : 0;
  const under = next && !next.gap && indentOf(next.text) >= restAt ? 1.2 : 0;
  return restAt > own + 1 ? over + under : 0;
}

const indentOf = (text: string): number => text.length - text.trimStart().length;

/** A heading begins something: it stands above chords, behind a gap. */
function placeCost(
  line: Line,
  next: Line | undefined,
  before: Line | undefined,
  label: Label,
): number {
  const begins = next !== undefined && (next.lean < 0 || /[|[]/u.test(next.text));
  const under = before !== undefined && before.lean < 0 && !line.gap && label.frame === 'plain';
  return (line.gap ? 0 : 0.6) + (begins ? -0.6 : 0.3) + (under ? 1.2 : 0);
}

/** In the frame of the sheet's other names; a letter or a short form needs one. */
function frameCost(
  { frame, known, name }: Label,
  { frames, headings, shorts, lettered }: Manner,
): number {
  const alike = headings > 0 ? (frames.get(frame) ?? 0) / headings : 0;
  const bare = frame === 'plain' || frame === 'capitals';
  if (known === 'short')
    return (bare && !/\d/u.test(name) ? 2.5 : 0) - (shorts > 1 ? Math.min(2, shorts * 0.5) : 0);
  if (known === 'letter') return lettered ? -1 : bare ? 2.2 : frame === 'round' ? 0.7 : 0;
  return known === 'own' ? -1.6 * alike : bare ? 0.1 - alike : -alike;
}

/** What speaks for a name that no list has. */
function ownCost(label: Label, line: Line, { loud }: Manner): number {
  const words = label.name.split(/\s+/u).length;
  const frame = {
    square: -3.2,
    signs: -2.8,
    curly: -2.2,
    angle: -2.2,
    lead: -1.6,
    round: 0.2,
    colon: -1.8,
    capitals: loud ? 0 : -1.2,
    plain: 0,
  }[label.frame];
  return (
    frame +
    (line.gap ? -0.6 : 0.8) +
    Math.max(0, words - 2) * 0.5 +
    (/\s\d$/u.test(label.name) ? -0.6 : 0) +
    (/^\p{Ll}/u.test(line.text.trim()) ? 0.8 : 0) +
    (TO_PLAYER.test(label.name) && label.frame === 'round' ? 3 : 0)
  );
}
