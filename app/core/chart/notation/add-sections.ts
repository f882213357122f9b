// Sections that come into a typed chart from elsewhere: pasted sheets, scores, other charts.
import type { ChartBody } from '../../model/chart.ts';
import { printChart } from './print.ts';

/** Sections and their order, as typed. */
export interface TypedParts {
  /** Each a block of lines that begins with the section's name. */
  readonly sections: readonly string[];
  /** Lines of the form, without the word itself. */
  readonly form: readonly string[];
}

const FORM = /^\s*form\s*:/iu;

/** The text with them behind its own sections, and with their entries at the end of its form. */
export function addSections(text: string, { sections, form }: TypedParts): string {
  const lines = text.replace(/\s+$/u, '').split(/\r\n|\n|\r/u);
  const at = lines.findIndex((line) => FORM.test(line));
  const blocks = sections.join('\n\n');
  if (at < 0) return `${lines.join('\n')}\n\n${blocks}\n`.replace(/^\n+/u, '');
  let above = at;
  while (above > 0 && /^\s*(?:#.*)?$/u.test(lines[above - 1]!)) above--;
  const before = lines.slice(0, above).join('\n');
  const comments = lines.slice(above, at).filter((line) => line.trim() !== '');
  const rest = [...comments, ...lines.slice(at), ...form].join('\n');
  return `${[before, blocks, rest].filter(Boolean).join('\n\n')}\n`;
}

/** The sections of a chart under names that are still free, e.g. "Verse 2" for a second "Verse". */
export function partsOfChart(chart: ChartBody, taken: readonly string[]): TypedParts {
  const names = freeNames(chart, taken);
  const renamed: ChartBody = {
    ...chart,
    sections: chart.sections.map(({ name, like, ...section }) => ({
      name: names.get(name)!,
      ...(like && { like: { ...like, section: names.get(like.section)! } }),
      ...section,
    })),
    form: chart.form.map((entry) => ({ ...entry, section: names.get(entry.section)! })),
  };
  const [, ...blocks] = printChart(renamed).trimEnd().split('\n\n');
  const form = blocks.pop()!.split('\n');
  return { sections: blocks, form: form.slice(form.findIndex((line) => FORM.test(line)) + 1) };
}

function freeNames({ sections }: ChartBody, known: readonly string[]): ReadonlyMap<string, string> {
  const taken = new Set(known.map((name) => name.toLowerCase()));
  return new Map(
    sections.map(({ name }) => {
      let free = name;
      for (let n = 2; taken.has(free.toLowerCase()); n++)
        free = `${name.replace(/\s\d+$/u, '')} ${n}`;
      taken.add(free.toLowerCase());
      return [name, free];
    }),
  );
}
