// Finds sections and form in a sheet: what comes again is written once and played again.
import { same } from '../../../base/same.ts';
import { equals } from '../../../base/rational.ts';
import type { Problem } from '../../../base/result.ts';
import { endingMeter } from '../../../chart/form/form.ts';
import { MAX_TIMES } from '../../../model/limits.ts';
import { printMeter } from '../../../rhythm/meter.ts';
import type {
  AlteredEnding,
  Bar,
  ChartBody,
  FormEntry,
  Meter,
  Section,
  StrumPattern,
} from '../../../model/chart.ts';
import { realiseLead } from '../../../lead/realise.ts';
import { leadLengths } from '../../../chart/form/leads.ts';
import { usualTimes } from '../../../chart/notation/print.ts';
import { playOrder } from '../../../chart/form/repeats.ts';
import { type WrittenBar, writtenBars } from '../../../chart/form/written-bars.ts';
import { leadsOf } from './leads-of-bars.ts';
import { meterOfLength } from './quarters.ts';
import { type Run, cutIntoRuns, withoutSigns } from './runs.ts';
import { SungRounds } from './sung-rounds.ts';
import { type JoinedBars, halvesOf, underWhole, withWholeStrums } from '../strum-halves.ts';
import { type Sheet, type SheetBar, sameAsBefore } from '../sheet.ts';

export interface FoundChart {
  readonly chart: ChartBody;
  readonly warnings: readonly Problem[];
}

/** The sheet must have at least one bar. */
export function chartOfSheet(sheet: Sheet): FoundChart {
  const { runs, warnings } = cutIntoRuns(sheet.bars);
  const first = sheet.bars[0]!;
  const assembly = new Assembly(runs);
  for (const run of runs) assembly.place(run);
  const { title, by, names, key, capo, tuning, shapes } = sheet;
  const chart: ChartBody = {
    title,
    ...(by !== undefined && { by }),
    ...(names && { names }),
    tempo: first.tempo,
    meter: first.meter,
    feel: first.feel,
    ...(key !== undefined && { key }),
    capo,
    tuning,
    shapes,
    sections: assembly.sections.map((section) => withoutCommon(section, first)),
    form: assembly.form,
  };
  const playable = withPlayableLeads(chart);
  return { chart: playable.chart, warnings: [...warnings, ...playable.warnings] };
}

/** A lead of a file from elsewhere that hands cannot play is left out and named; the chords stay. */
function withPlayableLeads(chart: ChartBody): FoundChart {
  const warnings: Problem[] = [];
  const sections = chart.sections.map((section): Section => {
    const { leads, ...chords } = section;
    const kept = (leads ?? []).flatMap((lead) => {
      const lengths = leadLengths(chart, section, lead);
      const { problems } = realiseLead(lead, chart, lengths);
      warnings.push(...problems.map(({ part: _part, ...problem }) => problem));
      const parts = lead.parts.filter((_, i) => !problems.some(({ part }) => part === i));
      return parts.length > 0 ? [{ ...lead, parts }] : [];
    });
    return kept.length > 0 ? { ...chords, leads: kept } : chords;
  });
  return { chart: { ...chart, sections }, warnings };
}

/** A section keeps only what differs from the chart's head. */
function withoutCommon({ tempo, meter, feel, ...section }: Section, first: SheetBar): Section {
  return {
    ...section,
    ...(tempo && !same(tempo, first.tempo) && { tempo }),
    ...(meter && !same(meter, first.meter) && { meter }),
    ...(feel && !same(feel, first.feel) && { feel }),
  };
}

/** The strum of most bars, if every bar has one: a section cannot take its own strum from a single bar. */
function commonStrum({ bars, whole }: JoinedBars): StrumPattern | undefined {
  if (bars.some((bar) => !bar.strum)) return undefined;
  if (whole) return whole;
  // A pattern over two bars that single bars begin would go on through the section.
  const single = bars.filter(({ strum, meter }) => !halvesOf(strum!, meter));
  const alike = [...Map.groupBy(single, ({ strum }) => strum).values()];
  const groups = Map.groupBy(alike, ([bar]) => JSON.stringify(bar!.strum));
  const count = (group: (typeof alike)[number][]): number => group.flat().length;
  return [...groups.values()].toSorted((a, b) => count(b) - count(a))[0]?.[0]?.[0]?.strum;
}

/**
 * The bars of a run as a section writes them. `start` is the meter before the bars of an altered
 * ending; without it the bars are a section's own.
 */
function barsOf(
  sheetBars: readonly SheetBar[],
  sectionStrum: StrumPattern | undefined,
  start?: Meter,
): Bar[] {
  let meter = start ?? sheetBars[0]?.meter;
  let inherited: StrumPattern | undefined;
  const bars = sheetBars.map((bar, i): Bar => {
    const isPickup = bar.pickup && i === 0 && !start;
    const ownMeter = bar.pickup && !isPickup ? (meterOfLength(bar.length) ?? bar.meter) : bar.meter;
    const changes = !same(ownMeter, meter);
    meter = ownMeter;
    const simile =
      bar.simile &&
      !bar.heading &&
      !changes &&
      sameAsBefore(bar, sheetBars[i - 1]) &&
      !isLaterEnding(bar) &&
      !(inherited && !bar.strum) &&
      !bar.fermata;
    inherited = simile ? inherited : undefined;
    const strum = same(bar.strum, inherited ?? sectionStrum) ? undefined : bar.strum;
    inherited = strum ?? inherited;
    return {
      content: simile ? { kind: 'simile' } : { kind: 'chords', chords: bar.chords },
      ...(changes && { meter: ownMeter }),
      ...(isPickup && { pickup: bar.length }),
      ...(bar.repeatStart && { repeatStart: true as const }),
      ...(bar.repeatEnd !== undefined && { repeatEnd: bar.repeatEnd }),
      ...(bar.endings && { endings: bar.endings }),
      ...(strum && { strum }),
      ...(bar.pace && { pace: bar.pace }),
      ...(bar.fermata && { fermata: bar.fermata }),
      ...(bar.remark !== undefined && { remark: bar.remark }),
    };
  });
  return bars.map((bar, i) =>
    bar.repeatEnd === 2 ? { ...bar, repeatEnd: usualTimes(bars, i) } : bar,
  );
}

const isLaterEnding = (bar: SheetBar): boolean =>
  bar.endings !== undefined && !bar.endings.includes(1);

interface Placed {
  readonly heading: string;
  readonly section: Section;
  /** As played once, and with the strums that hold. */
  readonly played: readonly SheetBar[];
  readonly written: readonly WrittenBar[];
}

class Assembly {
  readonly form: FormEntry[] = [];
  private readonly sung = new SungRounds();
  private readonly placed: Placed[] = [];
  private readonly runs: readonly Run[];

  constructor(runs: readonly Run[]) {
    this.runs = runs;
  }

  get sections(): readonly Section[] {
    return this.placed.map(({ section }) => this.sung.laidUnder(section));
  }

  place(run: Run): void {
    if (!this.known(run).length)
      this.add(mostUsual(this.runs.filter(({ name }) => name === run.name)));
    const made = makeSection(run, this.freeName(run.name));
    const again = this.known(run).find(({ section }) => sameMusic(section, made.section));
    if (again) return this.play(again.section, run);
    for (const base of this.known(run)) {
      const ending = endingBetween(base, made);
      if (ending) return this.play(base.section, run, ending);
    }
    this.placed.push(made);
    this.play(made.section, run);
  }

  private play(section: Section, run: Run, ending?: AlteredEnding): void {
    const tail = ending ? run.bars.slice(-ending.bars.length) : [];
    const own = run.bars.slice(0, run.bars.length - tail.length);
    // Bars written out one after the other are not those between the section's signs.
    if (!ending || !section.bars.some((bar) => bar.repeatEnd)) this.sung.add(section, own);
    const bars = ending?.bars.map((bar, i) => {
      const words = tail[i]?.words;
      return words ? { ...bar, words } : bar;
    });
    this.enter(section.name, ending && { ...ending, bars: bars! });
  }

  private known(run: Run): readonly Placed[] {
    return this.placed.filter(({ heading }) => heading === run.name);
  }

  private add(run: Run): void {
    this.placed.push(makeSection(run, this.freeName(run.name)));
  }

  private freeName(wanted: string): string {
    const taken = new Set(this.placed.map(({ section }) => section.name));
    for (let n = 1; ; n++) {
      const name = n === 1 ? wanted : `${wanted} ${n}`;
      if (!taken.has(name)) return name;
    }
  }

  /** Times in a row are one entry; an altered ending belongs to the last of them. */
  private enter(section: string, ending?: AlteredEnding): void {
    const last = this.form.at(-1);
    const joins = last?.section === section && !last.ending && last.times < MAX_TIMES;
    const times = joins ? this.form.pop()!.times + 1 : 1;
    this.form.push({ section, times, ...(ending && { ending }) });
  }
}

/** Of several runs under one heading the one that comes most often, then one with its repeats, then the shortest: others are its variants. */
function mostUsual(runs: readonly Run[]): Run {
  const groups = [...Map.groupBy(runs, (run) => JSON.stringify(run.bars.map(unsung))).values()];
  const lengthOf = ([run]: readonly Run[]): number => run!.bars.length;
  const unsigned = ([run]: readonly Run[]): number =>
    Number(run!.bars.every((bar) => bar.repeatEnd === undefined));
  return groups.toSorted(
    (a, b) => b.length - a.length || unsigned(a) - unsigned(b) || lengthOf(a) - lengthOf(b),
  )[0]![0]!;
}

const unsung = ({ words: _words, ...bar }: SheetBar): Omit<SheetBar, 'words'> => bar;

const sameMusic = (a: Section, b: Section): boolean => same({ ...a, name: '' }, { ...b, name: '' });

function makeSection({ name, bars }: Run, freeName: string): Placed {
  const first = bars[0]!;
  const joined = withWholeStrums(bars);
  const strum = commonStrum(joined);
  const own = barsOf(joined.bars, strum);
  const leads = leadsOf(bars);
  const section: Section = {
    name: freeName,
    tempo: first.tempo,
    meter: first.meter,
    feel: first.feel,
    ...(strum && { strum }),
    bars: own,
    ...(first.sectionRemarks && { remarks: first.sectionRemarks }),
    ...(leads.length > 0 && { leads }),
  };
  const written = writtenBars(own, first.meter);
  const order = playOrder(own).order;
  return {
    heading: name,
    section,
    played: order.map((index) => bars[index]!),
    written: order.map((index) => written[index]!),
  };
}

/** Is `other` the section with other last bars, or with more? Half of the section at least must be the same. */
function endingBetween(base: Placed, other: Placed): AlteredEnding | undefined {
  const { tempo, feel, strum } = base.section;
  const { section } = other;
  if (!same([tempo, feel], [section.tempo, section.feel])) return undefined;
  const length = base.played.length;
  let common = 0;
  while (
    common < length &&
    other.played[common] &&
    sounds(base.played[common]!, other.played[common]!)
  )
    common++;
  const kind = common === length ? 'add' : 'replace';
  const fits = kind === 'add' || other.played.length === length;
  if (!fits || common * 2 < length) return undefined;
  const { strum: whole } = base.section;
  const tail = underWhole(
    other.played.slice(common).map(withoutSigns),
    whole,
    (i) => other.written[common + i]!.number,
  );
  if (strum && tail.some((bar) => !bar.strum)) return undefined;
  const stands = { kind, bars: tail.map((): Bar => ({ content: { kind: 'simile' } })) } as const;
  const bars = barsOf(tail, strum, endingMeter(base.written, stands));
  return tail.length > 0 ? { kind, bars } : undefined;
}

const sounds = (a: SheetBar, b: SheetBar): boolean =>
  equals(a.length, b.length) &&
  printMeter(a.meter) === printMeter(b.meter) &&
  a.pickup === b.pickup &&
  same(a.chords, b.chords) &&
  same(a.strum, b.strum);
