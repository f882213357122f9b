// Two chords back and forth, cut out of the chart where they first meet, with their beats and strokes.
import { type Rational, add, compare, sub, toNumber, ZERO } from '../../base/rational.ts';
import { barLength, beatsOf, lengthOf, type MeterBeat } from '../../rhythm/meter.ts';
import type { Meter, StrumCell, StrumPattern } from '../../model/chart.ts';
import type { Chord } from '../../model/chord.ts';
import type { PlayedBar, PlayedChord } from '../../model/unit.ts';

/** A pass plays the pair four times, a long one twice: the way back is practised too (ours, no source). */
const PAIR_TIMES = 4;
const LONG_PAIR_TIMES = 2;
const LONG_PAIR_BARS = 2;

/** A change of the played form: positions in quarter notes from its start. */
export interface ChordChange {
  readonly from: Chord;
  readonly to: Chord;
  /** Where `from` began, where `to` begins and where it ends. */
  readonly start: Rational;
  readonly at: Rational;
  readonly end: Rational;
}

interface PlacedChord {
  readonly chord: Chord;
  readonly at: Rational;
}

/** Every change of some played bars, in order. */
export function changesOf(bars: readonly PlayedBar[]): readonly ChordChange[] {
  const chords: PlacedChord[] = [];
  let barStart = ZERO;
  for (const bar of bars) {
    if (chords.length === 0 && bar.held) chords.push({ chord: bar.held, at: barStart });
    for (const { chord, at } of bar.chords) chords.push({ chord, at: add(barStart, at) });
    barStart = add(barStart, bar.length);
  }
  return chords.slice(1).map((to, i) => {
    const from = chords[i]!;
    const end = chords[i + 2]?.at ?? barStart;
    return { from: from.chord, to: to.chord, start: from.at, at: to.at, end };
  });
}

/** Is it the change between these two, by their symbols as typed? */
export const isPair = (change: ChordChange, from: string, to: string): boolean =>
  change.from.symbol === from && change.to.symbol === to;

/** Do these two, by their symbols as typed, meet in it, whichever way round? */
export const isEitherWay = (change: ChordChange, a: string, b: string): boolean =>
  isPair(change, a, b) || isPair(change, b, a);

/**
 * The bars between a change's start and end, cut at beats: a chord that comes before its beat gets
 * the whole beat. Where that leaves bars of several lengths, nobody could count them round and round:
 * then each chord gets one full bar of the meter in which the second one stands.
 */
export function pairBars(bars: readonly PlayedBar[], change: ChordChange): readonly PlayedBar[] {
  const once: PlayedBar[] = [];
  let barStart = ZERO;
  for (const bar of bars) {
    const part = cutBar(bar, sub(change.start, barStart), sub(change.end, barStart));
    if (part) once.push(part);
    barStart = add(barStart, bar.length);
  }
  const first = { ...once[0]!, chords: startingWith(change.from, once[0]!.chords) };
  const cut = [withoutHeld(first), ...once.slice(1)].map(chordsAlone);
  const pair = inOneMeter(cut) ? cut : barEach(bars, change, cut);
  const times = pair.length > LONG_PAIR_BARS ? LONG_PAIR_TIMES : PAIR_TIMES;
  return Array.from({ length: times }, (_, i) =>
    pair.map((bar) => ({ ...bar, time: i + 1 })),
  ).flat();
}

/** The pair starts with its first chord at once, with the shape it has there. */
function startingWith(chord: Chord, chords: readonly PlayedChord[]): readonly PlayedChord[] {
  const own = chords.find((played) => played.chord.symbol === chord.symbol);
  const rest = chords.filter((played) => played !== own);
  return [{ ...own, chord, at: ZERO }, ...rest];
}

const inOneMeter = (bars: readonly PlayedBar[]): boolean =>
  bars.every(({ length }) => compare(length, bars[0]!.length) === 0);

/** One full bar for each of the two chords, with the strokes and shapes they have where they meet. */
function barEach(
  bars: readonly PlayedBar[],
  change: ChordChange,
  cut: readonly PlayedBar[],
): readonly PlayedBar[] {
  const played = cut.flatMap(({ chords }) => chords);
  const full = (at: Rational, chord: Chord): PlayedBar => {
    const own = played.find((one) => one.chord.symbol === chord.symbol);
    const { meter } = barAt(bars, change.at);
    const bar = chordsAlone(withoutHeld(barAt(bars, at)));
    const chords = [{ ...own, chord, at: ZERO }];
    return { ...bar, meter, length: barLength(meter), pickup: false, chords };
  };
  return [full(change.start, change.from), full(change.at, change.to)];
}

/** The bar in which a moment lies; there is one for every change. */
function barAt(bars: readonly PlayedBar[], moment: Rational): PlayedBar {
  let end = ZERO;
  for (const bar of bars) {
    end = add(end, bar.length);
    if (compare(moment, end) < 0) return bar;
  }
  return bars.at(-1)!;
}

const withoutHeld = ({ held: _held, ...bar }: PlayedBar): PlayedBar => bar;
/** A lead line and words would be cut with their bar, and a pair keeps one tempo: it has none of them. */
const chordsAlone = ({
  leads: _leads,
  words: _words,
  remark: _remark,
  pace: _pace,
  ...bar
}: PlayedBar): PlayedBar => bar;
const withoutStrum = ({ strum: _strum, ...bar }: PlayedBar): PlayedBar => bar;

/** The beats of a bar that lie in [from, to), or undefined when there are none. */
function cutBar(bar: PlayedBar, from: Rational, to: Rational): PlayedBar | undefined {
  if (compare(to, ZERO) <= 0 || compare(from, bar.length) >= 0) return undefined;
  const beats = soundingBeats(bar);
  const kept = beats.filter(
    (beat) => compare(add(beat.at, beat.length), from) > 0 && compare(beat.at, to) < 0,
  );
  if (kept.length === beats.length && !bar.pickup)
    return { ...bar, chords: chordsIn(bar, ZERO, from, to) };
  return partOf(bar, kept, from, to);
}

/**
 * A bar's beats from its own start; a pickup has the last ones. One that begins inside a beat has that
 * whole beat, which then starts before the bar: a pair keeps an even pulse, and swing its pairs.
 */
function soundingBeats(bar: PlayedBar): readonly MeterBeat[] {
  const offset = bar.pickup ? sub(barLength(bar.meter), bar.length) : ZERO;
  return beatsOf(bar.meter)
    .map((beat) => ({ ...beat, at: sub(beat.at, offset) }))
    .filter((beat) => compare(add(beat.at, beat.length), ZERO) > 0);
}

function partOf(
  bar: PlayedBar,
  kept: readonly MeterBeat[],
  from: Rational,
  to: Rational,
): PlayedBar {
  const start = kept[0]!.at;
  const length = lengthOf(kept);
  const offset = bar.pickup ? sub(barLength(bar.meter), bar.length) : ZERO;
  const strum = bar.strum && partOfStrum(bar.strum, add(start, offset), length);
  return {
    ...withoutStrum(bar),
    meter: meterOfBeats(bar.meter, kept),
    length,
    pickup: false,
    ...(strum && { strum }),
    chords: chordsIn(bar, start, from, to),
  };
}

function chordsIn(bar: PlayedBar, start: Rational, from: Rational, to: Rational): PlayedChord[] {
  return bar.chords
    .filter(({ at }) => compare(at, from) >= 0 && compare(at, to) < 0)
    .map((chord) => ({ ...chord, at: sub(chord.at, start) }));
}

/** Some beats of a bar as a meter of their own: 2 beats of 4/4 are 2/4, two of 7/8 (2+2+3) may be 5/8. */
function meterOfBeats({ unit }: Meter, beats: readonly MeterBeat[]): Meter {
  const units = beats.map(({ length }) => Math.round((toNumber(length) * unit) / 4));
  const numerator = units.reduce((a, b) => a + b, 0);
  return { numerator, unit, grouping: unit >= 8 ? units : [numerator] };
}

/** The strokes a full bar has from `start` on, as a pattern for the part. */
function partOfStrum(
  strum: StrumPattern,
  start: Rational,
  length: Rational,
): StrumPattern | undefined {
  const first = toNumber(start) * strum.grid;
  if (!Number.isInteger(first)) return undefined;
  const count = Math.ceil(toNumber(length)) * strum.grid;
  const cells = Array.from(
    { length: count },
    (_, i): StrumCell => strum.cells[(first + i) % strum.cells.length]!,
  );
  return cells.some((cell) => cell.kind === 'stroke') ? { grid: strum.grid, cells } : undefined;
}
