// What a drawn bar shows, worked out once from a written section or from the bars of a unit.
import { barLength, beatsOf, printMeter } from '../../../app/core/rhythm/meter.ts';
import { barNumber } from '../../../app/core/chart/form/bar-number.ts';
import { wordsAsText } from '../../../app/core/chart/notation/words.ts';
import type { Bar, Chart, ChordAt, Meter, Section } from '../../../app/core/model/chart.ts';
import type { PlayedBar } from '../../../app/core/model/unit.ts';
import { loggedBar } from '../../../app/core/units/bars/logged-bars.ts';
import { shownChord } from '../../../app/core/harmony/print.ts';
import { chordIn, shownSymbol } from '../../../app/core/harmony/note-names.ts';
import type { NoteNames } from '../../../app/core/model/chord.ts';
import { type Rational, compare, sub, toNumber, ZERO } from '../../../app/core/base/rational.ts';
import type { Share } from '../../../app/core/base/units.ts';
import { paceWords } from '../../../app/core/chart/pace-words.ts';

export interface DrawnChord {
  /** Where in the bar it stands, as a share of the bar's length. */
  readonly at: Share;
  /** As typed, and as printed with ♯ and ♭. */
  readonly symbol: string;
  readonly printed: string;
}

export interface DrawnBar {
  readonly number: number;
  /** One slash per beat. */
  readonly beats: readonly Share[];
  readonly chords: readonly DrawnChord[];
  readonly simile: boolean;
  readonly pickup: boolean;
  readonly repeatStart: boolean;
  /** Times in all; 0 where no repeat ends. */
  readonly repeatEnd: number;
  /** "1." or "1. 3."; the bracket starts here. */
  readonly ending?: string;
  /** Printed where it begins to hold. */
  readonly meter?: string;
  /** What is sung, a line for each verse. */
  readonly sung: readonly string[];
  /** What the player is told here, about the bar and its chords. */
  readonly told: readonly string[];
  /** Nobody wrote its bar lines: they are shown as open to doubt. */
  readonly guessed?: boolean;
  /** Another section, or the same once more, begins here. */
  readonly heading?: string;
  /** The bar in words. */
  readonly spoken: string;
}

/** The bars of a section as they are written: similes, repeats and endings as signs. */
export function drawnSection(
  section: Section,
  chart: Pick<Chart, 'meter' | 'names'>,
  guessed?: ReadonlySet<number>,
): readonly DrawnBar[] {
  let meter = section.meter ?? chart.meter;
  return section.bars.map((bar, i) => {
    const changed = bar.meter !== undefined || (i === 0 && section.meter !== undefined);
    meter = bar.meter ?? meter;
    const drawn = drawnWritten(bar, barNumber(section.bars, i), {
      ...{ meter, changed },
      names: chart.names,
    });
    return guessed?.has(i)
      ? { ...drawn, guessed: true, spoken: `${drawn.spoken}, bar lines guessed` }
      : drawn;
  });
}

/** Loose bars (an altered ending) in a known meter, numbered from `first`. */
export const drawnBars = (
  bars: readonly Bar[],
  { meter, names }: Pick<Chart, 'meter' | 'names'>,
  first: number,
): readonly DrawnBar[] =>
  bars.map((bar, i) =>
    drawnWritten(bar, first + i, {
      ...{ meter: bar.meter ?? meter, names },
      changed: bar.meter !== undefined,
    }),
  );

/** What holds in a bar besides what is written in it. */
interface Held {
  readonly meter: Meter;
  /** Is the meter another one from here on? */
  readonly changed: boolean;
  readonly names: NoteNames | undefined;
}

function drawnWritten(bar: Bar, number: number, { meter, changed, names }: Held): DrawnBar {
  const length = bar.pickup ?? barLength(meter);
  const chords = bar.content.kind === 'chords' ? bar.content.chords : [];
  const simile = bar.content.kind === 'simile';
  return withWords(
    {
      number,
      beats: beatShares(meter, length),
      chords: drawnChords(chords, length, names),
      simile,
      pickup: bar.pickup !== undefined,
      repeatStart: bar.repeatStart ?? false,
      repeatEnd: bar.repeatEnd ?? 0,
      ...(bar.endings && { ending: bar.endings.map((n) => `${n}.`).join(' ') }),
      ...(changed && { meter: printMeter(meter) }),
      sung: (bar.words ?? []).map(wordsAsText),
      told: toldIn(bar, chords, names),
    },
    meter,
  );
}

/** Remarks on the bar, then on its chords, and marks of tempo. */
const toldIn = (
  { remark, pace, fermata }: Pick<Bar, 'remark' | 'pace' | 'fermata'>,
  chords: readonly Pick<ChordAt, 'symbol' | 'remark' | 'slide'>[],
  names: NoteNames | undefined,
): readonly string[] => [
  ...(pace ? [paceWords(pace, 'to')] : []),
  ...(remark === undefined ? [] : [remark]),
  ...chords.flatMap(({ symbol, remark: said, slide }) => [
    ...(slide ? [`slide into ${shownSymbol(symbol, names)}`] : []),
    ...(said === undefined ? [] : [`${shownSymbol(symbol, names)}: ${said}`]),
  ]),
  ...(fermata ? ['hold'] : []),
];

/**
 * The bars of a unit as they are played, with a heading wherever a section starts.
 * @param notes for each bar, what is said there besides what the chart says
 */
export function drawnUnit(
  bars: readonly PlayedBar[],
  notes: readonly (readonly string[])[] = [],
): readonly DrawnBar[] {
  return bars.map((bar, i) => {
    const before = bars[i - 1];
    const starts = before?.section !== bar.section || before.time !== bar.time;
    const changed = before !== undefined && printMeter(before.meter) !== printMeter(bar.meter);
    return withWords(
      {
        number: bar.number ?? bar.bar,
        beats: beatShares(bar.meter, bar.length),
        chords: drawnChords(loggedBar(bar).chords, bar.length, namesIn(bar)),
        simile: false,
        pickup: bar.pickup,
        repeatStart: false,
        repeatEnd: 0,
        ...(changed && { meter: printMeter(bar.meter) }),
        sung: bar.words ? [wordsAsText(bar.words)] : [],
        told: [
          ...(notes[i] ?? []),
          ...toldIn(
            bar.remark === undefined ? {} : { remark: bar.remark },
            bar.chords.map(({ chord, ...rest }) => ({ ...rest, symbol: chord.symbol })),
            namesIn(bar),
          ),
        ],
        ...(starts && { heading: bar.section }),
      },
      bar.meter,
    );
  });
}

/** Every chord of a chart carries how the chart names notes. */
const namesIn = ({ chords }: PlayedBar): NoteNames | undefined =>
  chords.map(({ chord }) => (chord.kind === 'chord' ? chord.names : undefined)).find(Boolean);

const drawnChords = (
  chords: readonly ChordAt[],
  length: Rational,
  names: NoteNames | undefined,
): readonly DrawnChord[] =>
  chords.map(({ at, symbol }) => ({
    at: toNumber(at) / toNumber(length),
    symbol,
    printed: shownChord(chordIn(symbol, names)),
  }));

/** A pickup is the end of its meter: its beats are the last ones. */
function beatShares(meter: Meter, length: Rational): readonly Share[] {
  const skipped = sub(barLength(meter), length);
  const missing = compare(skipped, ZERO) > 0 ? skipped : ZERO;
  return beatsOf(meter)
    .filter((beat) => compare(beat.at, missing) >= 0)
    .map((beat) => toNumber(sub(beat.at, missing)) / toNumber(length));
}

/** Shares of a bar that differ by rounding alone. */
const SAME_PLACE = 1e-9;

function withWords(bar: Omit<DrawnBar, 'spoken'>, meter: Meter): DrawnBar {
  // Beats may be of unlike lengths, as in 7/8, and a pickup has the last ones of its meter.
  const before = beatsOf(meter).length - bar.beats.length;
  const chords = bar.chords.map(({ at, printed }) => {
    const beat = bar.beats.findLastIndex((share) => share <= at + SAME_PLACE);
    const behind = at - (bar.beats[beat] ?? 0) > SAME_PLACE;
    return at === 0 ? printed : `${printed} ${behind ? 'after' : 'on'} beat ${before + beat + 1}`;
  });
  const words = [
    bar.number === 0 ? 'Pickup' : `Bar ${bar.number}`,
    bar.meter,
    bar.pickup && bar.number > 0 && 'pickup',
    bar.repeatStart && 'repeat starts',
    bar.ending && `ending ${bar.ending}`,
    bar.simile ? 'as the bar before' : chords.join(', ') || 'same chord',
    bar.repeatEnd > 0 && `repeat ends, ${bar.repeatEnd} times in all`,
    ...bar.told,
    ...bar.sung.map((text) => text !== '' && `words: ${text}`),
  ];
  return { ...bar, spoken: words.filter(Boolean).join(', ') };
}
