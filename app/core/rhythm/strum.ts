// Strum patterns: their typed form, and the strokes that a bar gets from them.
import {
  type Rational,
  add,
  compare,
  equals,
  rational,
  sub,
  toNumber,
  ZERO,
} from '../base/rational.ts';
import { type Problem, type Result, fail, ok } from '../base/result.ts';
import { MAX_STRUM_CELLS } from '../model/limits.ts';
import { barLength, beatsOf } from './meter.ts';
import {
  type Meter,
  STROKE_TOUCHES,
  type StrokeTouch,
  type StrumCell,
  type StrumPattern,
} from '../model/chart.ts';
import { swung } from './swing.ts';
import type { PlayedBar } from '../model/unit.ts';

/** What the hand does at one moment of a bar: a stroke, or a rest that silences the strings. */
export interface BarStroke {
  /** Quarter notes from the start of the bar, even notes. */
  readonly at: Rational;
  /** The same with the bar's swing applied. */
  readonly swungAt: Rational;
  readonly cell: Exclude<StrumCell, { kind: 'ring' }>;
}

/** The words for the notes of a pattern's grid. */
export const GRID_NAMES: Record<StrumPattern['grid'], string> = {
  2: 'eighths',
  3: 'triplets',
  4: 'sixteenths',
};

const RING: StrumCell = { kind: 'ring' };
const REST: StrumCell = { kind: 'rest' };

/**
 * "eighths D- D>U -U DU": D down, U up, then x for muted strings, m for strings damped by the palm, . for a
 * short stroke and > for an accent; - rings on, r rests. Spaces part the beats.
 */
export function printStrum(pattern: StrumPattern, meter?: Meter): string {
  let from = 0;
  const beats: string[] = [];
  for (const size of groupSizes(pattern, meter)) {
    beats.push(
      pattern.cells
        .slice(from, from + size)
        .map(printCell)
        .join(''),
    );
    from += size;
  }
  return `${GRID_NAMES[pattern.grid]} ${beats.join(' ')}`;
}

/** How many cells stand together: those of each beat where beats are whole cells, else of each quarter. */
function groupSizes({ grid, cells }: StrumPattern, meter: Meter | undefined): number[] {
  const beats = meter ? beatsOf(meter).map(({ length }) => (length.n * grid) / length.d) : [grid];
  const sizes = beats.every(Number.isInteger) ? beats : [grid];
  const groups: number[] = [];
  for (let left = cells.length, i = 0; left > 0; i++) {
    const size = Math.min(left, sizes[i % sizes.length]!);
    groups.push(size);
    left -= size;
  }
  return groups;
}

const TOUCH_SIGNS: Readonly<Record<StrokeTouch, string>> = { damped: 'm', short: '.' };

function printCell(cell: StrumCell): string {
  if (cell.kind !== 'stroke') return cell.kind === 'ring' ? '-' : 'r';
  const letter = cell.direction === 'down' ? 'D' : 'U';
  const touch = cell.touch ? TOUCH_SIGNS[cell.touch] : '';
  return `${letter}${cell.muted ? 'x' : ''}${touch}${cell.accent ? '>' : ''}`;
}

/** The name of its notes, and its signs. */
const PARTS = /^\s*(\p{L}*)\s*:?\s*(.*)$/su;

/** What is typed behind the name of its notes. */
export const signsTyped = (text: string): string => PARTS.exec(text)?.[2] ?? '';

/** Reads {@link printStrum}'s form; also ↓ ↑ and the bowing signs ⊓ ∨ for D and U, and small letters. */
export function parseStrum(text: string): Result<StrumPattern> {
  const [, word = '', rest = ''] = PARTS.exec(text) ?? [];
  const grid = GRIDS.find((g) => GRID_NAMES[g] === word.toLowerCase());
  if (grid === undefined) {
    return fail(
      strumProblem(
        'strum-grid',
        `the strum “${text.trim()}” does not say its notes`,
        'Start with eighths, triplets or sixteenths, e.g. “eighths D- DU -U DU”.',
      ),
    );
  }
  const cells = parseCells(rest);
  if (!cells.ok) return cells;
  return checkStrum({ grid, cells: cells.value });
}

const GRIDS = [2, 3, 4] as const;

function parseCells(text: string): Result<StrumCell[]> {
  const cells: StrumCell[] = [];
  const pattern = /\s*(?:([Dd↓⊓Uu↑∨])([xm.>]{0,3})|(-)|([rR]))\s*/uy;
  while (pattern.lastIndex < text.length) {
    const from = pattern.lastIndex;
    const match = pattern.exec(text);
    if (!match || !marksFit(match[2] ?? '')) {
      const message = `“${text.slice(from).trim().slice(0, 8)}” is not a strum sign`;
      return fail(strumProblem('strum-sign', message, SIGNS_CURE));
    }
    cells.push(readCell(match));
  }
  return ok(cells);
}

const SIGNS_CURE =
  'Use D, U, D> (accent), Dx (muted), Dm (damped), D. (short), - (ring on) and r (rest).';

/** Each mark once, and one way to touch the strings. */
const marksFit = (marks: string): boolean =>
  new Set(marks).size === marks.length && marks.replace('>', '').length <= 1;

function readCell([, stroke, marks = '', ring]: RegExpExecArray): StrumCell {
  if (stroke === undefined) return ring === undefined ? REST : RING;
  const direction = 'Dd↓⊓'.includes(stroke) ? 'down' : 'up';
  const touch = STROKE_TOUCHES.find((t) => marks.includes(TOUCH_SIGNS[t]));
  return {
    kind: 'stroke',
    direction,
    accent: marks.includes('>'),
    muted: marks.includes('x'),
    ...(touch && { touch }),
  };
}

/** A pattern has at least one stroke and at most 96 cells; a muted stroke has no other touch. */
export function checkStrum(pattern: StrumPattern): Result<StrumPattern> {
  const { cells } = pattern;
  const count = cells.length;
  if (count === 0 || !cells.some((cell) => cell.kind === 'stroke')) {
    const cure = 'Write at least one D or U.';
    return fail(strumProblem('strum-empty', 'the strum has no stroke', cure));
  }
  if (count > MAX_STRUM_CELLS) {
    const cure = `Use at most ${MAX_STRUM_CELLS}; a pattern repeats by itself.`;
    return fail(strumProblem('strum-long', `the strum has ${count} signs`, cure));
  }
  if (cells.some((cell) => cell.kind === 'stroke' && cell.muted && cell.touch)) {
    const message = 'a muted stroke is damped or short as well';
    return fail(strumProblem('strum-sign', message, SIGNS_CURE));
  }
  return ok(pattern);
}

const strumProblem = (code: string, message: string, cure: string): Problem => ({
  code,
  message,
  cure,
});

/** Length of a pattern in quarter notes. */
export const strumLength = ({ grid, cells }: StrumPattern): Rational =>
  rational(cells.length, grid);

/** What of a bar its strokes depend on. */
export type StrummedBar = Pick<PlayedBar, 'strum' | 'pickup' | 'meter' | 'length' | 'feel'> & {
  readonly chords: readonly { readonly at: Rational }[];
};

/**
 * Every stroke and rest of a bar, in order, with exact positions. The pattern starts anew in each bar,
 * repeats to fill it and is cut at its end; a pickup bar plays the pattern's part that a full bar
 * would have there. A bar without a pattern gets one down-stroke on each beat and on each change.
 */
export function strokesInBar(bar: StrummedBar): readonly BarStroke[] {
  const strum = bar.strum;
  const offset = bar.pickup ? sub(barLength(bar.meter), bar.length) : ZERO;
  const cells = strum ? patternCells(strum, offset, bar.length) : plainCells(bar, offset);
  // Triplets are written out: swing bends halves and quarters of a beat only.
  const swings = strum?.grid !== 3;
  return cells.map(({ at, cell }) => ({
    at,
    swungAt: swings ? swung(at, bar.feel, offset) : at,
    cell,
  }));
}

interface PlacedCell {
  readonly at: Rational;
  readonly cell: BarStroke['cell'];
}

function patternCells(strum: StrumPattern, offset: Rational, length: Rational): PlacedCell[] {
  const placed: PlacedCell[] = [];
  const end = add(offset, length);
  for (let i = Math.ceil(toNumber(offset) * strum.grid); ; i++) {
    const inBar = rational(i, strum.grid);
    if (compare(inBar, end) >= 0) return placed;
    const cell = strum.cells[i % strum.cells.length]!;
    if (cell.kind !== 'ring') placed.push({ at: sub(inBar, offset), cell });
  }
}

/** Slash notation without rhythm means one stroke on each beat (common practice, no source). */
function plainCells(bar: StrummedBar, offset: Rational): PlacedCell[] {
  const beats = beatsOf(bar.meter)
    .filter((beat) => compare(beat.at, offset) >= 0)
    .map((beat) => sub(beat.at, offset));
  const changes = bar.chords.map((chord) => chord.at);
  const moments = [...beats, ...changes.filter((at) => !beats.some((beat) => equals(beat, at)))];
  const down: BarStroke['cell'] = {
    kind: 'stroke',
    direction: 'down',
    accent: false,
    muted: false,
  };
  return moments.toSorted(compare).map((at) => ({ at, cell: down }));
}
