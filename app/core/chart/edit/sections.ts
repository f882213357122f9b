// Whole sections copied and moved; the form follows where it only repeats the order of the text.
import type { ChartBody, FormEntry, Section } from '../../model/chart.ts';

/** A copy behind the section, under a name that is free, and played after it for the last time. */
export function copySection(chart: ChartBody, index: number): ChartBody {
  const section = chart.sections[index];
  if (!section) return chart;
  const name = freeName(chart, section.name);
  const last = chart.form.findLastIndex((entry) => entry.section === section.name);
  return {
    ...chart,
    sections: chart.sections.toSpliced(index + 1, 0, { ...section, name }),
    form: last < 0 ? chart.form : chart.form.toSpliced(last + 1, 0, { section: name, times: 1 }),
  };
}

function freeName({ sections }: ChartBody, name: string): string {
  const taken = new Set(sections.map((section) => section.name.toLowerCase()));
  const base = name.replace(/\s\d+$/u, '');
  let n = 2;
  while (taken.has(`${base} ${n}`.toLowerCase())) n++;
  return `${base} ${n}`;
}

/** One place up (−1) or down (1); undefined where it would stand above a section whose bars it takes over. */
export function moveSection(chart: ChartBody, index: number, by: 1 | -1): ChartBody | undefined {
  const other = index + by;
  const { sections } = chart;
  if (!sections[index] || !sections[other]) return undefined;
  const moved = swapped(sections, index, other);
  if (!borrowsFromAbove(moved)) return undefined;
  return {
    ...chart,
    sections: moved,
    form: isInOrder(chart) ? inOrder(moved, chart.form) : chart.form,
  };
}

const swapped = <T>(list: readonly T[], a: number, b: number): readonly T[] =>
  list.map((item, i) => (i === a ? list[b]! : i === b ? list[a]! : item));

const borrowsFromAbove = (sections: readonly Section[]): boolean =>
  sections.every(
    ({ like }, i) => !like || sections.slice(0, i).some(({ name }) => name === like.section),
  );

const isInOrder = ({ sections, form }: ChartBody): boolean =>
  form.length === sections.length && form.every((entry, i) => entry.section === sections[i]!.name);

const inOrder = (sections: readonly Section[], form: readonly FormEntry[]): readonly FormEntry[] =>
  sections.map(({ name }) => form.find((entry) => entry.section === name)!);
