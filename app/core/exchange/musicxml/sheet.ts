// A chart laid out from first bar to last, as a printed sheet has it: what MusicXML can say of a form.
import { paceOf } from '../../units/bars/pace.ts';
import type { PaceStretch } from '../../model/unit.ts';
import { equals, type Rational } from '../../base/rational.ts';
import { type Result, fail, ok } from '../../base/result.ts';
import { alterEnding, findSection, keptBars, playSection } from '../../chart/form/form.ts';
import type {
  AlteredEnding,
  Bar,
  BarWords,
  ChartBody,
  ChartShape,
  ChordAt,
  Feel,
  Fermata,
  FormEntry,
  Meter,
  PaceMark,
  Section,
  StrumPattern,
  Tempo,
  Tuning,
} from '../../model/chart.ts';
import type { BarJumps } from './jump-signs.ts';
import { leadsByBar } from '../../chart/form/leads.ts';
import { playOrder } from '../../chart/form/repeats.ts';
import type { PlayedLead } from '../../model/unit.ts';
import { type WrittenBar, strumOfBar, writtenBars } from '../../chart/form/written-bars.ts';

/** One bar of the sheet with everything that holds in it, however far back it was written. */
export interface SheetBar {
  /** A section starts here. */
  readonly heading?: string;
  readonly tempo: Tempo;
  readonly feel: Feel;
  readonly strum?: StrumPattern;
  /** The pattern over two bars of which `strum` is a half, where it is known. */
  readonly wholeStrum?: StrumPattern;
  /** Does it begin in a bar of its own, not with the section? */
  readonly wholeIsOwn?: true;
  readonly meter: Meter;
  readonly length: Rational;
  readonly pickup: boolean;
  readonly chords: readonly ChordAt[];
  readonly simile: boolean;
  readonly repeatStart: boolean;
  /** Times in all. */
  readonly repeatEnd?: number;
  readonly endings?: readonly number[];
  /** Signs of a file from elsewhere; a chart's own form is written out. */
  readonly jumps?: BarJumps;
  /** Is its repeat taken after a jump, too? */
  readonly afterJump?: true;
  /** What lead lines play here. */
  readonly leads?: readonly PlayedLead[];
  /** What is sung here this time through the section: a list for each time that its signs play the bar. */
  readonly words?: readonly BarWords[];
  /** What the player is told about the bar, and at its first bar about the section. */
  readonly remark?: string;
  readonly sectionRemarks?: readonly string[];
  readonly pace?: PaceMark;
  readonly fermata?: Fermata;
  /** Where the tempo of this bar is not `tempo` throughout; only on the way out. */
  readonly paces?: readonly PaceStretch[];
}

export interface Sheet {
  readonly title: string;
  readonly by?: string;
  readonly key?: string;
  /** How its diagrams name notes, where not internationally. */
  readonly names?: 'german';
  readonly capo: number;
  readonly tuning: Tuning;
  readonly shapes: readonly ChartShape[];
  readonly bars: readonly SheetBar[];
}

/** The form written out, each time through a section under its own heading; repeats inside a section stay signs. */
export function sheetOf(chart: ChartBody): Result<Sheet> {
  const bars: SheetBar[] = [];
  const times = new Map<string, number>();
  for (const entry of chart.form) {
    const section = findSection(chart, entry.section);
    const played = section && playSection(chart, section);
    if (!section || !played?.ok) return played && !played.ok ? played : fail(gone(entry));
    for (let time = 1; time <= entry.times; time++) {
      const ending = time === entry.times ? entry.ending : undefined;
      const laid = layOut(chart, section, played.value, ending);
      const before = times.get(section.name) ?? 0;
      times.set(section.name, before + 1);
      bars.push(...sheetBars(chart, section, laid, new VersesOfPass(played.value, before)));
    }
  }
  const { title, by, names, key, capo, tuning, shapes } = chart;
  return ok({
    title,
    ...(by !== undefined && { by }),
    ...(names && { names }),
    ...(key !== undefined && { key }),
    capo,
    tuning,
    shapes,
    bars,
  });
}

const gone = (entry: FormEntry) => ({
  code: 'form-section',
  message: `the form plays ‘${entry.section}’, which is not in the chart`,
  cure: 'Add the section, or take it out of the form.',
});

/** A bar as written and what it stands for. */
interface LaidBar {
  readonly bar: Bar;
  readonly written: WrittenBar;
}

/** A section's bars with their signs; with an altered ending inside repeats, unrolled and without signs. */
function layOut(
  chart: ChartBody,
  section: Section,
  played: readonly WrittenBar[],
  ending: AlteredEnding | undefined,
): readonly LaidBar[] {
  const written = writtenBars(section.bars, section.meter ?? chart.meter);
  const whole = section.bars.map((bar, i) => ({ bar, written: written[i]! }));
  if (!ending) return whole;
  const signsStay =
    ending.kind === 'add' || section.bars.slice(-ending.bars.length).every((bar) => !hasSigns(bar));
  const order = playOrder(section.bars).order;
  const base = signsStay ? whole : order.map((index) => withoutSigns(whole[index]!));
  const altered = alterEnding(signsStay ? written : played, section, ending);
  const kept = keptBars(signsStay ? written : played, ending);
  const tail = ending.bars.map((bar, i) => ({ bar, written: altered[kept + i]! }));
  return [...base.slice(0, kept), ...tail];
}

const hasSigns = (bar: Bar): boolean =>
  bar.repeatStart === true || bar.repeatEnd !== undefined || bar.endings !== undefined;

const withoutSigns = ({ bar, written }: LaidBar): LaidBar => {
  const { content, pace, fermata, remark } = bar;
  const plain: Bar = {
    content,
    ...(pace && { pace }),
    ...(fermata && { fermata }),
    ...(remark !== undefined && { remark }),
  };
  return { bar: plain, written };
};

/** Which verses a bar has in one time through its section; after the last they begin again. */
class VersesOfPass {
  private readonly counts: ReadonlyMap<number, number>;
  private readonly before: number;

  /** `before` is how often the section was played by now. */
  constructor(played: readonly WrittenBar[], before: number) {
    const bars = Map.groupBy(played, ({ bar }) => bar);
    this.counts = new Map([...bars].map(([bar, all]) => [bar, all.length]));
    this.before = before;
  }

  of({ bar, words }: WrittenBar, signs: boolean): readonly BarWords[] | undefined {
    if (!words || words.length === 0) return undefined;
    const count = this.counts.get(bar) ?? 1;
    const verses = Array.from(
      { length: signs ? Math.min(count, words.length) : 1 },
      (_, i) => words[(this.before * count + i) % words.length]!,
    );
    return verses.some((verse) => verse.length > 0) ? verses : undefined;
  }
}

function sheetBars(
  chart: ChartBody,
  section: Section,
  laid: readonly LaidBar[],
  verses: VersesOfPass,
): SheetBar[] {
  const signs = laid.some(({ bar }) => hasSigns(bar));
  const starts = repeatStarts(laid.map(({ bar }) => bar));
  const leadsAt = section.leads && leadsByBar(chart, section);
  const inOrder = standInOrder(laid);
  return laid.map(({ bar, written }, i) => {
    const strum = strumOfBar(written, section);
    const whole = written.strum ?? (inOrder ? section.strum : undefined);
    const leads = leadsAt?.get(written.bar);
    const words = verses.of(written, signs);
    const { pace, fermata, remark } = bar;
    const tempo = section.tempo ?? chart.tempo;
    const paces = paceOf(written, tempo);
    return {
      ...(i === 0 && { heading: section.name }),
      ...(i === 0 && section.remarks && { sectionRemarks: section.remarks }),
      ...(words && { words }),
      ...(remark !== undefined && { remark }),
      ...(pace && { pace }),
      ...(fermata && { fermata }),
      ...(paces && { paces }),
      tempo,
      feel: section.feel ?? chart.feel,
      ...(strum && { strum }),
      ...(strum && whole && whole !== strum && { wholeStrum: whole }),
      ...(strum && written.strum && written.strum !== strum && { wholeIsOwn: true as const }),
      meter: written.meter,
      length: written.length,
      pickup: written.pickup,
      chords: written.chords,
      simile: bar.content.kind === 'simile' && sameAsBefore(written, laid[i - 1]?.written),
      repeatStart: starts.has(i),
      ...(bar.repeatEnd !== undefined && { repeatEnd: bar.repeatEnd }),
      ...(bar.endings && { endings: bar.endings }),
      ...(leads && { leads }),
    };
  });
}

/** Do its bars stand in their own order? Then the halves of the section's pattern take turns from the first on. */
const standInOrder = (laid: readonly LaidBar[]): boolean =>
  laid.filter(({ written }) => !written.pickup).every(({ written }, i) => written.number === i + 1);

/** Unrolling may put another bar before a simile; then it must be written out. */
export const sameAsBefore = (
  bar: Pick<WrittenBar, 'chords' | 'length'>,
  before: Pick<WrittenBar, 'chords' | 'length'> | undefined,
): boolean =>
  before !== undefined &&
  equals(bar.length, before.length) &&
  JSON.stringify(bar.chords) === JSON.stringify(before.chords);

type RepeatSigns = Pick<Bar, 'repeatEnd' | 'endings'> & { readonly repeatStart?: boolean };

/** Bars to which a repeat goes back, those without a sign included: on a sheet every repeat has its start. */
export function repeatStarts(bars: readonly RepeatSigns[]): ReadonlySet<number> {
  const starts = new Set<number>();
  let start = 0;
  let inEndings = false;
  bars.forEach((bar, i) => {
    if (bar.repeatStart) [start, inEndings] = [i, false];
    if (bar.endings) inEndings = true;
    if (bar.repeatEnd === undefined) return;
    starts.add(start);
    if (!inEndings) start = i + 1;
  });
  return starts;
}
