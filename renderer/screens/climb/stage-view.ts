// What the stage shows at a frame, from the heard place: pure functions of plain data, cheap enough for every frame.
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
  readonly over: boolean;
  readonly shapes: boolean;
  /** A line to sing from, with the next one. */
  readonly words?: boolean;
  /** Something is said at a bar: by the chart, or in the teacher's note. */
  readonly told?: boolean;
}

/** Lower than this, or enlarged to it, the stage keeps the chords and leaves the chart's bars away. */
const LEAST_FOR_BARS = 540;

/** Lines of bars that leave the chords their share of the height; a lead line is never left away. */
export function linesThatFit({
  height,
  strip,
  under,
  over,
  shapes,
  words,
  told,
}: StageLoad): 0 | 1 | 2 {
  if (height < LEAST_FOR_BARS && !over) return 0;
  // The sizes are those of Stage.svelte: head, and --bar-size with its rows.
  const em = Math.min(32, Math.max(17, height * 0.033));
  const line = em * (3.6 + (under ? 2.3 : 1.4) + (over ? 9 : 0) + (told ? 1.8 : 0)) + 24;
  const rest =
    96 + (strip ? 95 : 0) + (words ? height * 0.08 : 0) + height * (shapes ? 0.46 : 0.34);
  return height - rest >= 2 * line ? 2 : 1;
}

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
