// Written bars as they are played one after the other: what changes in each, what is held, which leads play.
import { type Result, ok } from '../../base/result.ts';
import type { Rational } from '../../base/rational.ts';
import { type FormPlace, playSection, unrollForm } from '../../chart/form/form.ts';
import { leadsByBar } from '../../chart/form/leads.ts';
import { sectionRoles } from '../../chart/form/section-roles.ts';
import { type WrittenBar, strumOfBar } from '../../chart/form/written-bars.ts';
import { toAscii } from '../../harmony/notes.ts';
import { chordIn } from '../../harmony/note-names.ts';
import type { BarWords, ChartBody, ChordAt, Section } from '../../model/chart.ts';
import type { Chord } from '../../model/chord.ts';
import type { PlayedBar, PlayedChord, PlayedLead, SectionRole } from '../../model/unit.ts';
import { paceOf } from './pace.ts';

/** A chord that sounds, with the shape pinned to it. */
export type HeldChord = Pick<PlayedChord, 'chord' | 'shape'>;

/** The chord that still sounds after some bars. */
export function soundingAfter(
  chart: Pick<ChartBody, 'names'>,
  bars: readonly WrittenBar[],
  before?: HeldChord,
): HeldChord | undefined {
  const last = bars.findLast((bar) => bar.chords.length > 0)?.chords.at(-1);
  return last ? readIn(chart)(last) : before;
}

/** The one place where a chart's symbols become chords. */
const readIn =
  ({ names }: Pick<ChartBody, 'names'>) =>
  ({ symbol, kept: _kept, ...rest }: ChordAt): PlayedChord => ({
    ...rest,
    chord: chordIn(symbol, names),
  });

/** A written bar with what its section adds to it, before held chords are known. */
export interface BarInSection {
  readonly written: WrittenBar;
  readonly section: Section;
  readonly time: number;
}

/** The bars of one entry of the unrolled form. */
export const barsOfPlace = (place: FormPlace): readonly BarInSection[] =>
  place.bars.map((written) => ({ written, section: place.section, time: place.time }));

/**
 * Bars as they are played one after the other. The first bar lists the chord it starts with even
 * if the chord sounded before, since a unit starts there; `before` is held where it has none.
 */
export function playBars(
  chart: ChartBody,
  bars: readonly BarInSection[],
  before?: HeldChord,
): readonly PlayedBar[] {
  const read = readIn(chart);
  let sounding = startsWithChord(bars[0]?.written.chords) ? undefined : before;
  const leads = new Map(
    bars.map(({ section }) => [section, section.leads ? leadsByBar(chart, section) : undefined]),
  );
  const verses = new VerseCounter(chart);
  const roles = sectionRoles(chart);
  return bars.map((bar) => {
    const chords = changesIn(bar.written.chords.map(read), sounding);
    const held = startsWithChord(chords) ? undefined : sounding?.chord;
    sounding = chords.at(-1) ?? sounding;
    return playedBar(chart, bar, {
      chords,
      held,
      leads: leads.get(bar.section)?.get(bar.written.bar),
      words: verses.wordsOf(bar),
      role: roles.get(bar.section.name),
    });
  });
}

const startsWithChord = (chords: readonly { readonly at: Rational }[] | undefined): boolean =>
  chords?.[0]?.at.n === 0;

function playedBar(
  chart: ChartBody,
  { written, section, time }: BarInSection,
  found: {
    readonly chords: readonly PlayedChord[];
    readonly held: Chord | undefined;
    readonly leads: readonly PlayedLead[] | undefined;
    readonly role: SectionRole | undefined;
    readonly words: BarWords | undefined;
  },
): PlayedBar {
  const tempo = section.tempo ?? chart.tempo;
  const strum = strumOfBar(written, section);
  const pace = paceOf(written, tempo);
  return {
    section: section.name,
    bar: written.bar,
    ...(written.number !== written.bar && { number: written.number }),
    time,
    meter: written.meter,
    feel: section.feel ?? chart.feel,
    tempo,
    ...(pace && { pace }),
    length: written.length,
    pickup: written.pickup,
    ...(strum && { strum }),
    ...(found.held !== undefined && { held: found.held }),
    chords: found.chords,
    ...(found.leads && { leads: found.leads }),
    ...(found.words && { words: found.words }),
    ...(found.role && { role: found.role }),
    ...((chart.band || section.band) && { band: { ...chart.band, ...section.band } }),
    ...(written.remark !== undefined && { remark: written.remark }),
  };
}

/** Which verse is sung: a bar's first time round has the first one, and after the last they begin again. */
class VerseCounter {
  readonly #chart: ChartBody;
  readonly #perPass = new Map<Section, ReadonlyMap<number, number>>();
  #place: BarInSection | undefined;
  #within = new Map<number, number>();

  constructor(chart: ChartBody) {
    this.#chart = chart;
  }

  wordsOf(bar: BarInSection): BarWords | undefined {
    const { section, time, written } = bar;
    if (this.#place?.section !== section || this.#place.time !== time) this.#within = new Map();
    this.#place = bar;
    const before = this.#within.get(written.bar) ?? 0;
    this.#within.set(written.bar, before + 1);
    const verses = written.words;
    if (!verses || verses.length === 0) return undefined;
    const round = (time - 1) * this.#timesInPass(section, written.bar) + before;
    const words = verses[round % verses.length]!;
    return words.length > 0 ? words : undefined;
  }

  /** How often a repeat sign plays the bar in one time through its section. */
  #timesInPass(section: Section, bar: number): number {
    const known = this.#perPass.get(section) ?? this.#count(section);
    this.#perPass.set(section, known);
    return known.get(bar) ?? 1;
  }

  #count(section: Section): ReadonlyMap<number, number> {
    const played = playSection(this.#chart, section);
    const counts = new Map<number, number>();
    for (const { bar } of played.ok ? played.value : [])
      counts.set(bar, (counts.get(bar) ?? 0) + 1);
    return counts;
  }
}

/** Only what changes: a chord typed again is none, unless another shape is pinned to it. */
function changesIn(chords: readonly PlayedChord[], before?: HeldChord): readonly PlayedChord[] {
  let sounding = before;
  return chords.filter((chord) => {
    const changes = !sounding || !continues(sounding, chord);
    if (changes) sounding = chord;
    return changes;
  });
}

const continues = (sounding: HeldChord, { chord, shape }: PlayedChord): boolean =>
  toAscii(sounding.chord.symbol) === toAscii(chord.symbol) &&
  (shape === undefined || shape.join() === sounding.shape?.join());

/** The whole form as played. */
export function playForm(chart: ChartBody): Result<readonly PlayedBar[]> {
  const places = unrollForm(chart);
  return places.ok ? ok(playBars(chart, places.value.flatMap(barsOfPlace))) : places;
}
