// The readings of a line as a heading: a name alone, or one with chords, bars or words behind it.
import { barsCost, NEVER, rowCost, wordsCost } from './evidence.ts';
import { STAFF_OF_TAB, whyLeftOut } from './ignore.ts';
import { type Label, TOLD } from './labels.ts';
import type { Line, Reading } from './line.ts';
import { isLetterOf, isPart, type Manner } from './manner.ts';
import { TO_PLAYER } from './remarks.ts';
import { bracketedIn, tokensOf } from './tokens.ts';

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

/** All that a line with a name at its start may be, where the name counts. */
export function headingReadings(
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
  { frame, known, name, times }: Label,
  { frames, headings, shorts, lettered }: Manner,
): number {
  const alike = headings > 0 ? (frames.get(frame) ?? 0) / headings : 0;
  const bare = frame === 'plain' || frame === 'capitals';
  if (known === 'short')
    return (
      (bare && !/\d/u.test(name) && times === 1 ? 2.5 : 0) -
      (shorts > 1 ? Math.min(2, shorts * 0.5) : 0)
    );
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
