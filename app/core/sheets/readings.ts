// What each line of a sheet may be, and how unlikely each reading is by the line itself and its place.
import { barsCost, NEVER, rowCost, wordsCost } from './evidence.ts';
import { fieldOf } from './fields.ts';
import { headingReadings } from './headings.ts';
import { RUNNING_HEAD, whyLeftOut } from './ignore.ts';
import type { Label } from './labels.ts';
import type { Line, Reading } from './line.ts';
import { isLetterOf, isPart, type Manner } from './manner.ts';
import { remarkCost, TO_THE_PLAYER } from './remarks.ts';
import { bracketedIn } from './tokens.ts';

/** All that a line may be, each with what speaks against it. */
export function readingsOf(
  line: Line,
  next: Line | undefined,
  before: Line | undefined,
  manner: Manner,
): readonly Reading[] {
  const { text, tokens, row, sung: wordsIn } = line;
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
  const called = isLetterOf(line.label, manner) ? 3 : isNaming(line.label) ? 2 : 0;
  const asBars = barsCost(text, tokens) + called;
  const out: Reading[] = [...heading];
  if (asBars < NEVER) out.push({ kind: 'bars', cost: asBars });
  // Brackets alone on their line stand over the words, unless the sheet sets its chords between them.
  if (sounds && (inline || row >= 2))
    out.push({
      kind: 'inline',
      cost: isNaming(line.label) ? 2 : 0,
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
  if (remark < NEVER) out.push({ kind: 'left', cost: remark, why: TO_THE_PLAYER });
  return out;
}

const NAMING: ReadonlySet<Label['known']> = new Set(['name', 'weak', 'number']);
const PARTED: ReadonlySet<Label['parted']> = new Set(['colon', 'sign', 'bracket']);

/** A name of the trade and a sign before what is played; a short form needs its colon. */
const isNaming = (label: Label | undefined): boolean =>
  label !== undefined &&
  label.rest !== '' &&
  (label.known === 'short'
    ? label.frame === 'colon'
    : NAMING.has(label.known) && PARTED.has(label.parted));

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
