// What the stage shows at a frame, from the heard place: pure functions of plain data, cheap enough for every frame.
import type { Share } from '../../../app/core/base/units.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import type { LapBar } from '../../../app/core/timeline/model.ts';
import type { Playhead } from '../../../app/core/timeline/place.ts';
import { legsOf } from '../../parts/bars/legs.ts';
import type { HeardPlace } from '../../state/climb/lap-track.ts';

/** Is there a form to follow? Chords back and forth are none. */
export const hasForm = ({ bars, ref }: Pick<Unit, 'bars' | 'ref'>): boolean =>
  ref.kind !== 'pair' && ref.kind !== 'hardest' && legsOf(bars).length > 1;

/** Are there words to sing, on a line of their own? */
export const isSung = ({ bars }: Pick<Unit, 'bars'>): boolean => bars.some(({ words }) => words);

/** Bars on one line of the stage, and on a narrow one. */
const LINE = 4;
const SHORT_LINE = 2;

/** So many strokes of a bar are still told from each other in a quarter of a narrow stage. */
const MANY_STROKES = 8;

/** Two on a narrow stage (`width` in CSS pixels), sooner with lead lines above and with many strokes in a bar. */
export function barsOnALine({ bars }: Pick<Unit, 'bars'>, width: number, leads: boolean): number {
  const dense = bars.some(({ strum }) => (strum?.cells.length ?? 0) > MANY_STROKES);
  return width < (leads ? 1600 : dense ? 1200 : 640) ? SHORT_LINE : LINE;
}

/** What takes height on the stage besides the chords. */
export interface StageLoad {
  /** Of the stage, in CSS pixels. */
  readonly height: number;
  readonly strip: boolean;
  readonly under: boolean;
  /** Parts of lead lines, one over the other, that a bar has at most; 0 where there is none. */
  readonly parts: number;
  /** A lead line is what is climbed: it is never left away. */
  readonly ownLead: boolean;
  readonly shapes: boolean;
  /** A line to sing from, with the next one. */
  readonly words?: boolean;
  /** Something is said at a bar: by the chart, or in the teacher's note. */
  readonly told?: boolean;
  /** What is shown once, below the head. */
  readonly tour?: boolean;
}

/** What of the bars there is room for. */
export interface StageFit {
  /** Lines of bars. */
  readonly rows: 0 | 1 | 2;
  /** Parts of lead lines in each bar. */
  readonly parts: number;
  /** Of their letters, in CSS pixels. */
  readonly em: number;
}

/** Lower than this, or enlarged to it, the stage keeps the chords and leaves the chart's bars away. */
const LEAST_FOR_BARS = 540;

/** Smaller numbers on strings are not read from the chair; a lead that is climbed is shown all the same. */
const LEAST_EM = 15;
const LEAST_OWN_EM = 12;
/** Of the height, for the chords: with shapes, and beside lead lines. */
const CHORDS = { shapes: 0.46, plain: 0.34, lead: 0.34 };

/**
 * What of the bars leaves the chords their share of the height. Of several guitars as many are shown as are read
 * from the chair, the one that is climbed first.
 */
export function stageFit(load: StageLoad): StageFit {
  const { height, parts, ownLead, shapes } = load;
  const usual = Math.min(32, Math.max(17, height * 0.033));
  const shares = [shapes ? CHORDS.shapes : CHORDS.plain, CHORDS.lead];
  for (let shown = parts; shown > 0; shown--) {
    for (const share of shares) {
      const em = Math.min(usual, emThatFits(load, shown, share));
      if (em >= LEAST_EM) return { rows: rowsOf(load, shown, share, em), parts: shown, em };
    }
  }
  if (ownLead) {
    return { rows: 1, parts: 1, em: Math.max(LEAST_OWN_EM, emThatFits(load, 1, CHORDS.lead)) };
  }
  const rows = height < LEAST_FOR_BARS ? 0 : rowsOf(load, 0, shares[0]!, usual);
  return { rows, parts: 0, em: usual };
}

const emThatFits = (load: StageLoad, parts: number, share: Share): number =>
  (roomFor(load, share) - BETWEEN_LINES) / emsOf(load, parts);

const rowsOf = (load: StageLoad, parts: number, share: Share, em: number): 1 | 2 =>
  roomFor(load, share) >= 2 * (em * emsOf(load, parts) + BETWEEN_LINES) ? 2 : 1;

/** The sizes are those of Stage.svelte: its head, and the rows of a bar in letters of the size of its bars. */
const BETWEEN_LINES = 24;
const emsOf = ({ under, told }: StageLoad, parts: number): number =>
  3.6 + (under ? 2.3 : 1.4) + 9.4 * parts + (told ? 1.8 : 0);
const roomFor = ({ height, strip, words, tour }: StageLoad, chords: Share): number =>
  height * (1 - chords - (words ? 0.08 : 0)) - 96 - (strip ? 95 : 0) - (tour ? 64 : 0);

/** First bar of the lines to show while `bar` is played. */
export const firstShown = (bar: number, line = LINE): number => Math.floor(bar / line) * line;

/** The bar that is heard, of the count-in, the unit or the rest. */
export const lapBarAt = (place: HeardPlace | undefined): LapBar | undefined =>
  place?.lap.scheduled.lap.bars[place.bar];

/** Whole beats until the next chord, counting the beat it is on its way through: 3, 2, 1. */
export const beatsUntil = (
  place: Pick<Playhead, 'beatsUntilNext'> | undefined,
): number | undefined =>
  place?.beatsUntilNext === undefined
    ? undefined
    : Math.max(1, Math.ceil(place.beatsUntilNext - 1e-6));

/** Share of its bar that has been heard, when the place lies in bar `bar` of `beats` beats. */
export const barShare = (
  place: Pick<Playhead, 'beat' | 'beatShare'>,
  firstBeat: number,
  beats: number,
): number => Math.min(1, Math.max(0, (place.beat - firstBeat + place.beatShare) / beats));
