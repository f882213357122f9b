// Moves a whole chart by semitones: key, chords, pinned shapes and lead lines together; or to another capo.
import type { BarContent, ChartBody, ChordAt, Frets, Section } from '../model/chart.ts';
import { MAX_FRET } from '../model/limits.ts';
import type { Lead, LeadBar, LeadNote } from '../model/lead.ts';
import { type Problem, type Result, fail, ok } from '../base/result.ts';
import type { Fret } from '../base/units.ts';
import { type Key, readKey, transposeKey } from '../harmony/key.ts';
import { pretty } from '../harmony/notes.ts';
import { transposeSymbol } from '../harmony/transpose.ts';
import { checkLeads } from './rules/leads.ts';

export interface MovedChart {
  readonly chart: ChartBody;
  /** Symbols whose pinned shape could not be moved along (it has open strings, or leaves the neck). */
  readonly unpinned: readonly string[];
}

/**
 * The chart `semitones` higher (negative: lower) at the same capo. Shapes without open strings and
 * lead lines move along the neck; other pinned shapes are let go. Fails when a chord or the key cannot
 * be read, or a lead line could not be played there.
 */
export const moveChart = (chart: ChartBody, semitones: number): Result<MovedChart> =>
  moveTo(chart, semitones, chart.capo);

/** The same sound fingered at another capo: 0–12. Fails as {@link moveChart} does. */
export const moveCapo = (chart: ChartBody, capo: Fret): Result<MovedChart> =>
  moveTo(chart, chart.capo - capo, capo);

function moveTo(chart: ChartBody, semitones: number, capo: Fret): Result<MovedChart> {
  const from = chart.key === undefined ? undefined : readKey(chart.key);
  if (from && !from.ok) return from;
  const mover = new Mover(semitones, from?.value);
  const moved: ChartBody = {
    ...chart,
    capo,
    ...(from && { key: typedKey(transposeKey(from.value, semitones), chart.names) }),
    shapes: chart.shapes.flatMap(({ symbol, frets, kept }) => {
      const shape = mover.shape(symbol, frets);
      return shape ? [{ symbol: mover.symbol(symbol), frets: shape, ...(kept && { kept }) }] : [];
    }),
    sections: chart.sections.map((section) => mover.section(section)),
    form: chart.form.map((entry) =>
      entry.ending
        ? { ...entry, ending: { ...entry.ending, bars: mover.bars(entry.ending.bars) } }
        : entry,
    ),
  };
  const problems = [...mover.problems, ...unplayable(moved, chart)];
  if (problems.length > 0) return fail(...problems);
  return ok({ chart: moved, unpinned: [...mover.unpinned] });
}

/** Lead lines that lie off the neck, or that hands could play before and cannot where they would lie. */
const unplayable = (moved: ChartBody, before: ChartBody): readonly Problem[] =>
  moved.sections.flatMap((section, i) =>
    (section.leads ?? []).flatMap((lead, at) => {
      const broken = (chart: ChartBody): boolean =>
        checkLeads(chart, chart.sections[i]!, i).some(({ place }) => place.lead === at);
      const lost = !liesOnNeck(lead) || (broken(moved) && !broken(before));
      return lost ? [offNeck(lead.name)] : [];
    }),
  );

const liesOnNeck = ({ parts }: Lead): boolean =>
  parts.flatMap((part) => (part.kind === 'written' ? notesOf(part.bars) : [])).every(isPlayable);

/** As charts write it: "E♭", "F♯ minor". */
function typedKey({ tonic, mode }: Key, names: ChartBody['names']): string {
  const note = names ? tonic : pretty(tonic);
  return mode === 'major' ? note : `${note} ${mode}`;
}

/** Carries the move and gathers what could not be moved. */
class Mover {
  readonly problems: Problem[] = [];
  readonly unpinned = new Set<string>();
  readonly #semitones: number;
  readonly #key: Key | undefined;

  constructor(semitones: number, key: Key | undefined) {
    this.#semitones = semitones;
    this.#key = key;
  }

  symbol(symbol: string): string {
    const moved = transposeSymbol(symbol, this.#semitones, this.#key);
    if (moved.ok) return moved.value;
    this.problems.push(...moved.problems);
    return symbol;
  }

  /** Undefined, and noted, when the shape cannot be played so many frets away. */
  shape(symbol: string, frets: Frets): Frets | undefined {
    if (this.#semitones === 0) return frets;
    const moved = frets.map((fret) => (fret === null ? null : fret + this.#semitones));
    const fits = moved.every((fret, i) => fret === null || (frets[i]! > 0 && isOnNeck(fret, 1)));
    if (fits) return moved;
    this.unpinned.add(symbol);
    return undefined;
  }

  section(section: Section): Section {
    return {
      ...section,
      bars: this.bars(section.bars),
      ...(section.leads && { leads: section.leads.map((lead) => this.#lead(lead)) }),
    };
  }

  bars(bars: Section['bars']): Section['bars'] {
    return bars.map((bar) => ({ ...bar, content: this.#content(bar.content) }));
  }

  #content(content: BarContent): BarContent {
    if (content.kind !== 'chords') return content;
    return { kind: 'chords', chords: content.chords.map((chord) => this.#chord(chord)) };
  }

  #chord({ shape, kept, ...chord }: ChordAt): ChordAt {
    const moved = shape && this.shape(chord.symbol, shape);
    return {
      ...chord,
      symbol: this.symbol(chord.symbol),
      ...(moved && { shape: moved, ...(kept && { kept }) }),
    };
  }

  #lead(lead: Lead): Lead {
    const parts = lead.parts.map((part) =>
      part.kind === 'written'
        ? { ...part, bars: part.bars.map((bar) => this.#leadBar(bar)) }
        : part,
    );
    return { ...lead, parts };
  }

  #leadBar(bar: LeadBar): LeadBar {
    const events = bar.events.map((event) =>
      event.kind === 'notes'
        ? { ...event, notes: event.notes.map((note) => this.#note(note)) }
        : event,
    );
    return { events };
  }

  #note(note: LeadNote): LeadNote {
    const grace = note.grace && { ...note.grace, fret: note.grace.fret + this.#semitones };
    const fret = note.fret === 'muted' ? note.fret : note.fret + this.#semitones;
    return { ...note, fret, ...(grace && { grace }) };
  }
}

const isOnNeck = (fret: Fret, least: Fret): boolean => fret >= least && fret <= MAX_FRET;

const notesOf = (bars: readonly LeadBar[]): readonly LeadNote[] =>
  bars.flatMap((bar) => bar.events.flatMap((event) => (event.kind === 'notes' ? event.notes : [])));

const isPlayable = ({ fret, grace }: LeadNote): boolean =>
  (fret === 'muted' || isOnNeck(fret, 0)) && (!grace || isOnNeck(grace.fret, 0));

const offNeck = (name: string): Problem => ({
  code: 'lead-off-neck',
  message: `The lead line ‘${name}’ would leave the neck.`,
  cure: 'Write it at another place on the neck first, or move the other way.',
});
