// What the stage shows at a frame, from the heard place: pure functions of plain data, cheap enough for every frame.
import type { PlayedBar } from '../../../app/core/chart/unit-model.ts';
import type { Place } from '../../../app/core/timeline/place.ts';

/** Bars on one line of the stage, and lines shown at once. */
export const LINE = 4;
export const LINES = 2;

/** First bar of the lines to show while `bar` is played. */
export const firstShown = (bar: number): number => Math.floor(bar / LINE) * LINE;

/** Whole beats until the next chord, counting the beat it is on its way through: 3, 2, 1. */
export const beatsUntil = (place: Pick<Place, 'beatsUntilNext'> | undefined): number | undefined =>
  place?.beatsUntilNext === undefined
    ? undefined
    : Math.max(1, Math.ceil(place.beatsUntilNext - 1e-6));

/** Share of its bar that has been heard, when the place lies in bar `bar` of `beats` beats. */
export const barShare = (
  place: Pick<Place, 'beat' | 'beatShare'>,
  firstBeat: number,
  beats: number,
): number => Math.min(1, Math.max(0, (place.beat - firstBeat + place.beatShare) / beats));

/** One time through a section within a unit. */
export interface Leg {
  readonly section: string;
  readonly from: number;
  readonly to: number;
}

/** The sections a unit runs through, in order; one leg for a plain section. */
export function legsOf(bars: readonly PlayedBar[]): readonly Leg[] {
  const legs: { section: string; from: number; to: number }[] = [];
  bars.forEach((bar, i) => {
    const before = bars[i - 1];
    const starts = before?.section !== bar.section || before.time !== bar.time;
    const last = legs.at(-1);
    if (starts || !last) legs.push({ section: bar.section, from: i, to: i });
    else last.to = i;
  });
  return legs;
}

/** The leg that holds a bar, and how many bars of it are still to come. */
export function legAt(
  legs: readonly Leg[],
  bar: number,
): { readonly index: number; readonly toGo: number } {
  const index = Math.max(
    0,
    legs.findIndex((leg) => bar >= leg.from && bar <= leg.to),
  );
  return { index, toGo: (legs[index]?.to ?? bar) - bar };
}
