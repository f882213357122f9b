// The form unrolled: which bars are played, in order, with nothing left to look up.
import { type Result, fail, ok } from '../base/result.ts';
import { toAscii } from '../harmony/notes.ts';
import type {
  AlteredEnding,
  Chart,
  ChartBody,
  ChordAt,
  Frets,
  Meter,
  Section,
} from '../model/chart.ts';
import { playOrder } from './repeats.ts';
import { linesByBar } from '../lead/in-section.ts';
import type { PlayedBar, PlayedLine } from '../model/unit.ts';
import { type WrittenBar, writtenBars } from './written-bars.ts';

/** One time through one section, at its place in the unrolled form. */
export interface FormPlace {
  /** 0-based in the unrolled form: what seams and stretches count. */
  readonly entry: number;
  readonly section: Section;
  /** Which time the section comes round in the form, from 1. */
  readonly time: number;
  /** Has this time an ending of its own? */
  readonly altered: boolean;
  readonly bars: readonly WrittenBar[];
}

/** A chord that sounds, with the shape pinned to it. */
export interface Sounding {
  readonly symbol: string;
  readonly shape?: Frets;
}

/** The section's bars as played once: repeats and endings unrolled. */
export function playSection(chart: ChartBody, section: Section): Result<readonly WrittenBar[]> {
  if (section.bars.length === 0) {
    const message = `‘${section.name}’ has no bars`;
    return fail({ code: 'section-empty', message, cure: 'Write at least one, e.g. | G |.' });
  }
  const written = writtenBars(section.bars, section.meter ?? chart.meter);
  const { order, faults } = playOrder(section.bars);
  if (faults.length > 0) {
    return fail(
      ...faults.map(({ bar, code, what, cure }) => ({
        code,
        message: `bar ${bar + 1} of ‘${section.name}’ ${what}`,
        cure,
      })),
    );
  }
  return ok(order.map((index) => written[index]!));
}

/** The last time through: its last bars replaced, or bars added. Numbers count on from the section's. */
export function alterEnding(
  played: readonly WrittenBar[],
  section: Section,
  ending: AlteredEnding,
): readonly WrittenBar[] {
  const kept = played.slice(0, keptBars(played, ending));
  const meter = endingMeter(played, ending);
  return [...kept, ...writtenBars(ending.bars, meter, section.bars.length + 1, kept.at(-1))];
}

/** How many of the played bars an altered ending leaves. */
export const keptBars = (played: readonly WrittenBar[], ending: AlteredEnding): number =>
  ending.kind === 'add' ? played.length : Math.max(0, played.length - ending.bars.length);

/** The meter in which an altered ending starts: that of the first bar it replaces, or of the last bar. */
export const endingMeter = (played: readonly WrittenBar[], ending: AlteredEnding): Meter =>
  (played[keptBars(played, ending)] ?? played.at(-1)!).meter;

/** Every time through every section, in the order of the form. */
export function unrollForm(chart: ChartBody): Result<readonly FormPlace[]> {
  const places: FormPlace[] = [];
  const times = new Map<string, number>();
  for (const entry of chart.form) {
    const section = chart.sections.find((s) => s.name === entry.section);
    if (!section) return fail(unknownSection(entry.section));
    const played = playSection(chart, section);
    if (!played.ok) return played;
    for (let i = 1; i <= entry.times; i++) {
      const time = (times.get(section.name) ?? 0) + 1;
      times.set(section.name, time);
      const ending = i === entry.times ? entry.ending : undefined;
      const bars = ending ? alterEnding(played.value, section, ending) : played.value;
      places.push({ entry: places.length, section, time, altered: ending !== undefined, bars });
    }
  }
  return ok(places);
}

const unknownSection = (name: string) => ({
  code: 'form-section',
  message: `the form plays ‘${name}’, which is not in the chart`,
  cure: 'Add the section, or take it out of the form.',
});

/** The chord that still sounds after some bars. */
export function soundingAfter(
  bars: readonly WrittenBar[],
  before?: Sounding,
): Sounding | undefined {
  const last = bars.findLast((bar) => bar.chords.length > 0)?.chords.at(-1);
  return last ?? before;
}

/** A written bar with what its section adds to it, before held chords are known. */
export interface BarInSection {
  readonly written: WrittenBar;
  readonly section: Section;
  readonly time: number;
}

export const barsOfPlace = (place: FormPlace): readonly BarInSection[] =>
  place.bars.map((written) => ({ written, section: place.section, time: place.time }));

/**
 * Bars as they are played one after the other. The first bar lists the chord it starts with even
 * if the chord sounded before, since a unit starts there; `before` is held where it has none.
 */
export function playBars(
  chart: ChartBody,
  bars: readonly BarInSection[],
  before?: Sounding,
): readonly PlayedBar[] {
  let sounding = startsWithChord(bars[0]?.written.chords) ? undefined : before;
  const lines = new Map(
    bars.map(({ section }) => [section, section.phrases ? linesByBar(chart, section) : undefined]),
  );
  return bars.map((bar) => {
    const chords = changesIn(bar.written.chords, sounding);
    const held = startsWithChord(chords) ? undefined : sounding?.symbol;
    sounding = chords.at(-1) ?? sounding;
    return playedBar(chart, bar, {
      chords,
      held,
      lines: lines.get(bar.section)?.get(bar.written.bar),
    });
  });
}

const startsWithChord = (chords: readonly ChordAt[] | undefined): boolean =>
  chords?.[0]?.at.n === 0;

function playedBar(
  chart: ChartBody,
  { written, section, time }: BarInSection,
  found: {
    readonly chords: readonly ChordAt[];
    readonly held: string | undefined;
    readonly lines: readonly PlayedLine[] | undefined;
  },
): PlayedBar {
  const strum = written.strum ?? section.strum;
  return {
    section: section.name,
    bar: written.bar,
    time,
    meter: written.meter,
    feel: section.feel ?? chart.feel,
    tempo: section.tempo ?? chart.tempo,
    length: written.length,
    pickup: written.pickup,
    ...(strum && { strum }),
    ...(found.held !== undefined && { held: found.held }),
    chords: found.chords,
    ...(found.lines && { lines: found.lines }),
  };
}

/** Only what changes: a chord typed again is none, unless another shape is pinned to it. */
function changesIn(chords: readonly ChordAt[], before?: Sounding): readonly ChordAt[] {
  let sounding = before;
  return chords.filter((chord) => {
    const changes = !sounding || !continues(sounding, chord);
    if (changes) sounding = chord;
    return changes;
  });
}

const continues = (sounding: Sounding, chord: ChordAt): boolean =>
  toAscii(sounding.symbol) === toAscii(chord.symbol) &&
  (chord.shape === undefined || chord.shape.join() === sounding.shape?.join());

/** The whole form as played. */
export function playForm(chart: ChartBody): Result<readonly PlayedBar[]> {
  const places = unrollForm(chart);
  return places.ok ? ok(playBars(chart, places.value.flatMap(barsOfPlace))) : places;
}

/** The section of that name. */
export const findSection = (chart: Chart | ChartBody, name: string): Section | undefined =>
  chart.sections.find((section) => section.name === name);
