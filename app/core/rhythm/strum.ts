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
import { barLength, beatsOf, isCompound } from './meter.ts';
import type { Meter, StrumCell, StrumPattern } from '../model/chart.ts';
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

const GRID_NAMES: Record<StrumPattern['grid'], string> = {
  2: 'eighths',
  3: 'triplets',
  4: 'sixteenths',
};

const RING: StrumCell = { kind: 'ring' };
const REST: StrumCell = { kind: 'rest' };

/**
 * "eighths D- D>U -U DU": D down, U up, followed by > for an accent and x for muted strings;
 * - rings on, r rests. Spaces part the quarters, or the dotted quarters of a compound meter.
 */
export function printStrum(pattern: StrumPattern, meter?: Meter): string {
  const size = cellsPerBeat(pattern, meter);
  const beats = Array.from({ length: Math.ceil(pattern.cells.length / size) }, (_, i) =>
    pattern.cells
      .slice(i * size, (i + 1) * size)
      .map(printCell)
      .join(''),
  );
  return `${GRID_NAMES[pattern.grid]} ${beats.join(' ')}`;
}

/** Triplets have no dotted quarter of whole cells; they stay in threes. */
const cellsPerBeat = ({ grid }: StrumPattern, meter: Meter | undefined): number =>
  meter && isCompound(meter) && grid !== 3 ? (grid * 3) / 2 : grid;

function printCell(cell: StrumCell): string {
  if (cell.kind !== 'stroke') return cell.kind === 'ring' ? '-' : 'r';
  const letter = cell.direction === 'down' ? 'D' : 'U';
  return `${letter}${cell.muted ? 'x' : ''}${cell.accent ? '>' : ''}`;
}

/** Reads {@link printStrum}'s form; also ↓ ↑ and the bowing signs ⊓ ∨ for D and U, and small letters. */
export function parseStrum(text: string): Result<StrumPattern> {
  const [, word = '', rest = ''] = /^\s*(\p{L}*)\s*:?\s*(.*)$/su.exec(text) ?? [];
  const grid = ([2, 3, 4] as const).find((g) => GRID_NAMES[g] === word.toLowerCase());
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

function parseCells(text: string): Result<StrumCell[]> {
  const cells: StrumCell[] = [];
  const pattern = /\s*(?:([Dd↓⊓Uu↑∨])([x>]{0,2})|([-.])|([rR]))\s*/uy;
  while (pattern.lastIndex < text.length) {
    const from = pattern.lastIndex;
    const match = pattern.exec(text);
    if (!match || match[2] === 'xx' || match[2] === '>>') {
      const message = `“${text.slice(from).trim().slice(0, 8)}” is not a strum sign`;
      const cure = 'Use D, U, D> or U> (accent), Dx or Ux (muted), - (ring on) and r (rest).';
      return fail(strumProblem('strum-sign', message, cure));
    }
    cells.push(readCell(match));
  }
  return ok(cells);
}

function readCell([, stroke, marks = '', ring]: RegExpExecArray): StrumCell {
  if (stroke === undefined) return ring === undefined ? REST : RING;
  const direction = 'Dd↓⊓'.includes(stroke) ? 'down' : 'up';
  return { kind: 'stroke', direction, accent: marks.includes('>'), muted: marks.includes('x') };
}

/** A pattern covers whole quarters, has at least one stroke, and at most 96 cells. */
export function checkStrum(pattern: StrumPattern): Result<StrumPattern> {
  const { grid, cells } = pattern;
  const count = cells.length;
  if (count === 0 || !cells.some((cell) => cell.kind === 'stroke')) {
    const cure = 'Write at least one D or U.';
    return fail(strumProblem('strum-empty', 'the strum has no stroke', cure));
  }
  if (count % grid !== 0) {
    const message = `the strum has ${count} ${GRID_NAMES[grid]}, which is not a whole number of quarters`;
    return fail(strumProblem('strum-length', message, `Write a multiple of ${grid} signs.`));
  }
  if (count > MAX_STRUM_CELLS) {
    const cure = `Use at most ${MAX_STRUM_CELLS}; a pattern repeats by itself.`;
    return fail(strumProblem('strum-long', `the strum has ${count} signs`, cure));
  }
  return ok(pattern);
}

const strumProblem = (code: string, message: string, cure: string): Problem => ({
  code,
  message,
  cure,
});

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
