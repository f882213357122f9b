// How the bars of a section stand in lines on paper: four in a line where they have room, each as wide as it needs.
import type { Meter } from '../../../app/core/model/chart.ts';
import type { PlayedLead } from '../../../app/core/model/unit.ts';
import type { Rational } from '../../../app/core/base/rational.ts';
import type { Share } from '../../../app/core/base/units.ts';
import type { DrawnBar } from '../bars/drawn-bars.ts';
import { fitOf } from '../bars/fit.ts';
import type { DrawnStroke } from '../strum/drawn-strokes.ts';
import { type DrawnNote, drawnTab } from '../tab/drawn-tab.ts';

/** Of a screen at 100 %: 96 of them are an inch on paper. */
export type CssPixels = number;

/** A bar with what is drawn under and over it. */
export interface PaperBar {
  readonly bar: DrawnBar;
  readonly strokes: readonly DrawnStroke[];
  readonly leads?: {
    readonly played: readonly PlayedLead[];
    readonly meter: Meter;
    readonly length: Rational;
  };
}

export interface PaperLine {
  /** Index of its first bar. */
  readonly from: number;
  readonly bars: readonly DrawnBar[];
  /** Of the line's width, one for each bar; where they are less than 1 together the rest stays free. */
  readonly widths: readonly Share[];
}

/** Bars that make a line, as phrases do; a pickup stands before the first four. */
const LINE = 4;
/** A4 within its margins of 13 mm. */
const WIDTH: CssPixels = 695;

/*
 * In CSS pixels, for the sizes that a lesson sheet is set in: a name's least size, the air beside chords and strokes,
 * the distance of two strokes, a letter of a verse (of which two lines may stand under a bar that is no pickup),
 * numbers on strings.
 */
const NAME = 11.5;
const AIR = 16;
const STROKE = 9.7;
const LETTER = 6.2;
const SUNG_AIR = 12;
const IN_TWO_LINES = 3.68;
const MOST_SUNG: Share = 0.7;
const ONE_DIGIT = 8;
const TWO_DIGITS = 13;
const BEND = 14;
const BETWEEN = 5;
const TAB_AIR = 20;
const LEAST = 70;
const LEAST_PICKUP = 56;

/** @param width Of a line. */
export function paperLines(bars: readonly PaperBar[], width: CssPixels = WIDTH): PaperLine[] {
  const needs = bars.map((bar) => Math.min(1, needOf(bar, width) / width));
  const isPickup = bars[0]?.bar.pickup === true;
  const lines: PaperLine[] = [];
  /** Where they have no room together, the line is parted in the middle. */
  function set(from: number, to: number, slots: number): void {
    const own = needs.slice(from, to);
    const count = to - from;
    if (count > 1 && own.reduce((sum, need) => sum + need, 0) > 1) {
      const pickup = from === 0 && isPickup ? 1 : 0;
      const half = from + pickup + Math.ceil((count - pickup) / 2);
      const middle = half < to ? half : to - 1;
      set(from, middle, 2);
      return set(middle, to, 2);
    }
    const fixed = from === 0 && isPickup ? 1 : 0;
    lines.push({
      from,
      bars: bars.slice(from, to).map(({ bar }) => bar),
      widths: [...own.slice(0, fixed), ...shared(own.slice(fixed), slots, own.slice(0, fixed))],
    });
  }
  const first = LINE + (isPickup ? 1 : 0);
  for (let from = 0; from < bars.length;) {
    const to = Math.min(bars.length, from + (from === 0 ? first : LINE));
    // What is left over at the end is as wide as what stands above it.
    set(from, to, Math.min(LINE, lines.at(-1)?.bars.length ?? LINE));
    from = to;
  }
  return lines;
}

/** All the same where all have room in that, else those that need more have it and the others share the rest. */
function shared(needs: readonly Share[], slots: number, taken: readonly Share[]): Share[] {
  const free = 1 - taken.reduce((sum, one) => sum + one, 0);
  const places = Math.max(slots, needs.length);
  const large = new Set<number>();
  for (;;) {
    const kept = [...large].reduce((sum, i) => sum + needs[i]!, 0);
    const others = places - large.size;
    const even = others > 0 ? Math.max(0, free - kept) / others : 0;
    const more = needs.findIndex((need, i) => !large.has(i) && need > even + 1e-9);
    if (more < 0) return needs.map((need, i) => (large.has(i) ? need : even));
    large.add(more);
  }
}

/** So wide that nothing in it touches or is too small to read. Words alone do not take more than most of a line. */
function needOf({ bar, strokes, leads }: PaperBar, line: CssPixels): CssPixels {
  const names = bar.chords.length > 0 ? (NAME * 100) / fitOf(bar.chords) + AIR : 0;
  const struck = STROKE / leastGap(strokes.map(({ at }) => at)) + AIR;
  const sung = bar.sung.map((text) => {
    const longest = Math.max(0, ...text.split(/\s+/).map((word) => word.length));
    const signs = bar.pickup ? LETTER : IN_TWO_LINES;
    return SUNG_AIR + Math.max(longest * LETTER, text.length * signs);
  });
  const played = (leads?.played ?? []).map(({ bar: tab }) =>
    tabNeed(drawnTab(tab, leads!.meter, leads!.length).notes),
  );
  const least = bar.pickup ? LEAST_PICKUP : LEAST;
  return Math.max(
    least,
    names,
    struck,
    Math.min(MOST_SUNG * line, Math.max(0, ...sung)),
    ...played,
  );
}

const leastGap = (places: readonly Share[]): Share =>
  places.slice(1).reduce((least, at, i) => Math.min(least, at - places[i]!), 1);

/** Numbers that follow each other stay apart; a bend has its arrow between them. */
function tabNeed(notes: readonly DrawnNote[]): CssPixels {
  const moments = [...Map.groupBy(notes, ({ at }) => at)].map(([at, together]) => ({
    at,
    wide: Math.max(...together.map(({ text }) => (text.length > 1 ? TWO_DIGITS : ONE_DIGIT))),
    bend: together.some(({ bend }) => bend !== undefined) ? BEND : 0,
  }));
  const needs = moments.slice(1).map(({ at, wide }, i) => {
    const before = moments[i]!;
    return ((wide + before.wide) / 2 + before.bend + BETWEEN) / (at - before.at);
  });
  return TAB_AIR + Math.max(0, ...needs);
}
