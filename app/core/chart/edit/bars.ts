// Changes to where bar lines stand: join, split, hold, and what lies across the line to the next bar.
import { type Rational, add, compare, mul, rational, sub } from '../../base/rational.ts';
import { MAX_SECTION_BARS } from '../../model/limits.ts';
import type { Bar, BarWords, ChordAt, Meter, Section, Syllable } from '../../model/chart.ts';
import { barLength } from '../../rhythm/meter.ts';
import { slotsOf } from '../../rhythm/slots.ts';

/** Undefined where the bars cannot be changed so. `bar` is an index; `meter` is that of the chart. */
export type BarEdit = (section: Section, bar: number, meter: Meter) => Section | undefined;

interface Pair {
  readonly first: Bar;
  readonly second: Bar;
  readonly meter: Meter;
}

/** Bars that are taken over, or over which a lead line lies, keep their number. */
const isFixed = ({ like, leads }: Section): boolean =>
  like !== undefined || (leads?.length ?? 0) > 0;

const meterAt = ({ bars, meter }: Section, bar: number, chart: Meter): Meter =>
  bars.slice(0, bar + 1).findLast((b) => b.meter)?.meter ?? meter ?? chart;

const chordsOf = ({ content }: Bar): readonly ChordAt[] =>
  content.kind === 'chords' ? content.chords : [];

const withChords = (bar: Bar, chords: readonly ChordAt[]): Bar => ({
  ...bar,
  content: { kind: 'chords', chords },
});

/** A bar with another one behind it, and nothing between them that parts them: no repeat, ending, meter. */
function pairAt(section: Section, bar: number, chart: Meter): Pair | undefined {
  const [first, second] = [section.bars[bar], section.bars[bar + 1]];
  if (!first || !second || first.pickup || first.repeatEnd) return undefined;
  if (second.meter || second.repeatStart || second.endings) return undefined;
  if (first.content.kind === 'simile' || second.content.kind === 'simile') return undefined;
  return { first, second, meter: meterAt(section, bar, chart) };
}

const replaced = (section: Section, bar: number, count: number, bars: readonly Bar[]): Section => ({
  ...section,
  bars: [...section.bars.slice(0, bar), ...bars, ...section.bars.slice(bar + count)],
});

/** What would be lost, or stand elsewhere, in one bar. */
const hasOwnMarks = ({ first, second }: Pair): boolean =>
  [first.fermata, second.fermata, second.pace, second.remark, second.strum].some(Boolean);

/** Two bars become one; their chords share its beats in order. */
export const joinBars: BarEdit = (section, bar, chart) => {
  const pair = isFixed(section) ? undefined : pairAt(section, bar, chart);
  if (!pair || hasOwnMarks(pair)) return undefined;
  const { first, second, meter } = pair;
  const chords = shared([...chordsOf(first), ...chordsOf(second)], meter);
  if (!chords) return undefined;
  const half = mul(barLength(meter), rational(1, 2));
  const words = joinedWords(
    first.words ?? [],
    (second.words ?? []).map((verse) => moved(verse, rational(1, 2), half)),
    (verse) => moved(verse, rational(1, 2), rational(0)),
  );
  return replaced(section, bar, 2, [withWords(withChords({ ...second, ...first }, chords), words)]);
};

/** A bar becomes two of its length: its chords are parted at the middle, and last twice as long. */
export const splitBar: BarEdit = (section, bar, chart) => {
  const whole = section.bars[bar];
  if (!whole || isFixed(section) || whole.pickup || whole.content.kind === 'simile')
    return undefined;
  if (section.bars.length >= MAX_SECTION_BARS || whole.fermata) return undefined;
  const meter = meterAt(section, bar, chart);
  const half = mul(barLength(meter), rational(1, 2));
  const chords = chordsOf(whole);
  const early = chords.filter(({ at }) => compare(at, half) < 0).length;
  const cut = chords.length < 2 ? chords.length : Math.min(chords.length - 1, Math.max(1, early));
  const [before, after] = [shared(chords.slice(0, cut), meter), shared(chords.slice(cut), meter)];
  if (!before || !after) return undefined;
  const { repeatEnd, ...head } = whole;
  const verses = (whole.words ?? []).map((verse) => parted(verse, half));
  const second: Bar = {
    content: { kind: 'chords', chords: after },
    ...(whole.strum && { strum: whole.strum }),
    ...(repeatEnd && { repeatEnd }),
  };
  return replaced(section, bar, 1, [
    withWords(
      withChords(head, before),
      verses.map(([early]) => early),
    ),
    withWords(
      second,
      verses.map(([, late]) => late),
    ),
  ]);
};

/** The last chord of a bar goes on through one more bar. */
export const holdBar: BarEdit = (section, bar) => {
  const held = section.bars[bar];
  if (!held || isFixed(section) || section.bars.length >= MAX_SECTION_BARS) return undefined;
  const { repeatEnd, ...first } = held;
  const more: Bar = { content: { kind: 'chords', chords: [] }, ...(repeatEnd && { repeatEnd }) };
  return replaced(section, bar, 1, [first, more]);
};

/** The bar line behind a bar moves before its last chord: chord and words go into the next bar. */
export const lineEarlier: BarEdit = (section, bar, chart) => {
  const pair = pairAt(section, bar, chart);
  const chords = pair && chordsOf(pair.first);
  if (!pair || !chords || chords.length < 2 || section.like) return undefined;
  return acrossLine(section, bar, pair, chords.length - 1, -1);
};

/** The bar line behind a bar moves behind the first chord of the next one. */
export const lineLater: BarEdit = (section, bar, chart) => {
  const pair = pairAt(section, bar, chart);
  if (!pair || chordsOf(pair.second).length < 2 || section.like) return undefined;
  return acrossLine(section, bar, pair, chordsOf(pair.first).length + 1, 1);
};

function acrossLine(
  section: Section,
  bar: number,
  { first, second, meter }: Pair,
  cut: number,
  way: 1 | -1,
): Section | undefined {
  const all = [...chordsOf(first), ...chordsOf(second)];
  const [before, after] = [shared(all.slice(0, cut), meter), shared(all.slice(cut), meter)];
  if (!before || !after) return undefined;
  const from = way < 0 ? first : second;
  const share = 1 / chordsOf(from).length;
  const words = verses(first, second).map(([left, right]): [BarWords, BarWords] => {
    const count = Math.round((way < 0 ? left : right).length * share);
    return way < 0
      ? across(left, right, left.length - count)
      : across(left, right, left.length + count);
  });
  return replaced(section, bar, 2, [
    withWords(
      withChords(first, before),
      words.map(([left]) => left),
    ),
    withWords(
      withChords(second, after),
      words.map(([, right]) => right),
    ),
  ]);
}

/** The last word of a bar is sung in the next one. */
export const wordOn: BarEdit = (section, bar, chart) =>
  moveWord(section, bar, chart, (left) => lastWord(left));

/** The first word of the next bar is sung in this one. */
export const wordBack: BarEdit = (section, bar, chart) =>
  moveWord(section, bar, chart, (left, right) => {
    const end = right.findIndex(({ joined }) => !joined);
    return right.length === 0 ? undefined : left.length + (end < 0 ? right.length : end + 1);
  });

function lastWord(words: BarWords): number | undefined {
  if (words.length === 0) return undefined;
  let from = words.length - 1;
  while (from > 0 && words[from - 1]!.joined) from--;
  return from;
}

function moveWord(
  section: Section,
  bar: number,
  _chart: Meter,
  cutOf: (left: BarWords, right: BarWords) => number | undefined,
): Section | undefined {
  const [first, second] = [section.bars[bar], section.bars[bar + 1]];
  if (!first || !second) return undefined;
  let any = false;
  const words = verses(first, second).map(([left, right]): [BarWords, BarWords] => {
    const cut = cutOf(left, right);
    any ||= cut !== undefined;
    return cut === undefined ? [left, right] : across(left, right, cut);
  });
  if (!any) return undefined;
  return replaced(section, bar, 2, [
    withWords(
      first,
      words.map(([left]) => left),
    ),
    withWords(
      second,
      words.map(([, right]) => right),
    ),
  ]);
}

function verses(first: Bar, second: Bar): readonly [BarWords, BarWords][] {
  const count = Math.max(first.words?.length ?? 0, second.words?.length ?? 0);
  return Array.from({ length: count }, (_, verse) => [
    first.words?.[verse] ?? [],
    second.words?.[verse] ?? [],
  ]);
}

/** What crosses the line has no place in the bar any longer: it follows the word before. */
function across(left: BarWords, right: BarWords, cut: number): [BarWords, BarWords] {
  const loose = ({ at: _at, ...syllable }: Syllable): Syllable => syllable;
  const all = [...left, ...right].map((syllable, i) =>
    i < left.length === i < cut ? syllable : loose(syllable),
  );
  return [all.slice(0, cut), all.slice(cut)];
}

/** Chords in order on the beats of a bar, as evenly as they go; undefined where even half beats are too few. */
function shared(chords: readonly ChordAt[], meter: Meter): readonly ChordAt[] | undefined {
  const beats = slotsOf(meter);
  const halves = beats.flatMap(({ at, length }) => [at, add(at, mul(length, rational(1, 2)))]);
  const places = chords.length <= beats.length ? beats.map(({ at }) => at) : halves;
  if (chords.length > places.length) return undefined;
  return chords.map((chord, k) => ({
    ...chord,
    at: places[Math.floor((k * places.length) / chords.length)]!,
  }));
}

const moved = (words: BarWords, by: Rational, from: Rational): BarWords =>
  words.map(({ at, ...syllable }) => ({
    ...syllable,
    ...(at && { at: add(from, mul(at, by)) }),
  }));

/** Words before and after the middle of the bar, each spread over a whole one. */
function parted(words: BarWords, half: Rational): [BarWords, BarWords] {
  const placed = words.findIndex(({ at }) => at && compare(at, half) >= 0);
  const cut = placed >= 0 ? placed : Math.ceil(words.length / 2);
  const twice = rational(2);
  return [
    moved(words.slice(0, cut), twice, rational(0)),
    moved(words.slice(cut), twice, mul(sub(rational(0), half), twice)),
  ];
}

function joinedWords(
  left: readonly BarWords[],
  right: readonly BarWords[],
  squeeze: (words: BarWords) => BarWords,
): readonly BarWords[] {
  return Array.from({ length: Math.max(left.length, right.length) }, (_, verse) => {
    return [...squeeze(left[verse] ?? []), ...(right[verse] ?? [])];
  });
}

function withWords({ words: _words, ...bar }: Bar, words: readonly BarWords[]): Bar {
  const end = words.findLastIndex((verse) => verse.length > 0);
  return end < 0 ? bar : { ...bar, words: words.slice(0, end + 1) };
}
