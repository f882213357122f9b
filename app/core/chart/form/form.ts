// The form unrolled: which bars are played, in order, with nothing left to look up.
import { type Result, fail, ok } from '../../base/result.ts';
import type { AlteredEnding, Chart, ChartBody, Meter, Section } from '../../model/chart.ts';
import { barName, barNumber } from './bar-number.ts';
import { playOrder } from './repeats.ts';
import { type WrittenBar, writtenBars } from './written-bars.ts';

/** One time through one section, at its place in the unrolled form. */
export interface FormPlace {
  /** 0-based in the unrolled form: what joins and stretches count. */
  readonly entry: number;
  readonly section: Section;
  /** Which time the section comes round in the form, from 1. */
  readonly time: number;
  /** Has this time an ending of its own? */
  readonly altered: boolean;
  readonly bars: readonly WrittenBar[];
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
        message: `${barName(barNumber(section.bars, bar), section.name)} ${what}`,
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

/** The section of that name. */
export const findSection = (chart: Chart | ChartBody, name: string): Section | undefined =>
  chart.sections.find((section) => section.name === name);
