// Reads a chart typed in the program's own text form; every problem is reported with its line and column.
import { type Problem, type Result, type TextSpan, fail, ok } from '../../base/result.ts';
import { MAX_TEXT } from '../../model/limits.ts';
import type { ChartBody } from '../../model/chart.ts';
import { Findings } from './findings.ts';
import { readForm } from './form-entries.ts';
import { readHead, withHeadComments } from './head.ts';
import { type ChartLines, spanOf } from './lines.ts';
import { asModelled } from './note-names.ts';
import { pinWarnings } from './pin-warnings.ts';
import { START, byPlace, firstOf } from './problems.ts';
import { withRemedies } from './remedies.ts';
import { findByRules } from './rule-problems.ts';
import { readSections } from './sections.ts';
import { sortLines } from './sort-lines.ts';

/** The chart, or all problems in the order of the text. Never throws, whatever was typed. */
export function parseChart(text: string): Result<ChartBody> {
  const { chart, problems } = readTypedChart(text);
  return chart && problems.length === 0 ? ok(chart) : fail(...problems);
}

/** What a kept file holds: the chart and its identity. What a chart may have but should not is let pass. */
export function parseStoredChart(text: string): Result<TypedChart & { readonly chart: ChartBody }> {
  const typed = readTypedChart(text);
  return typed.chart ? ok({ ...typed, chart: typed.chart }) : fail(...typed.problems);
}

/** A typed text as far as it can be read. */
export interface TypedChart {
  /** Absent where something cannot be read; with problems beside it these are no more than advice. */
  readonly chart?: ChartBody;
  /** As in "id: …". */
  readonly id?: string;
  readonly problems: readonly Problem[];
  /** What is allowed but may be a slip: pinned shapes whose notes are not their chord. */
  readonly warnings: readonly Problem[];
  readonly places: ChartPlaces;
}

/** Where in the text the parts of the chart stand, in the order of the chart. */
export interface ChartPlaces {
  readonly sections: readonly {
    readonly name: TextSpan;
    readonly bars: readonly BarPlace[];
  }[];
}

export interface BarPlace {
  readonly span: TextSpan;
  readonly chords: readonly TextSpan[];
}

/** Reads what somebody types, with all that an editor says about it. Never throws. */
export function readTypedChart(text: string): TypedChart {
  if (text.length > MAX_TEXT) {
    const message = `the text has ${text.length} characters; a chart has at most ${MAX_TEXT}`;
    const problem = {
      code: 'text-long',
      message,
      cure: 'Cut it into several charts.',
      span: START,
    };
    return { problems: [problem], warnings: [], places: { sections: [] } };
  }
  const typed = readLines(sortLines(text));
  const warnings = typed.chart ? pinWarnings(text, typed.chart, typed.places) : [];
  return { ...typed, problems: withRemedies(text, typed.problems), warnings };
}

function readLines(lines: ChartLines): Omit<TypedChart, 'warnings'> {
  const found = new Findings(lines.problems);
  const head = readHead(lines, found);
  const sections = readSections(lines, head, found);
  const formless: ChartBody = { ...head, sections: sections.map((s) => s.section), form: [] };
  const entries = readForm(lines, formless, found);
  const typed = { ...formless, form: entries.map(({ entry }) => entry) };
  const chart = asModelled(withHeadComments(typed, lines));
  findByRules(chart, { lines, sections, entries }, found);
  const id = lines.head.id?.text;
  return {
    ...(found.problems.length === 0 && { chart }),
    ...(id !== undefined && { id }),
    problems: firstOf([...found.problems, ...found.advice].toSorted(byPlace)),
    places: {
      sections: sections.map(({ bars }, i) => ({
        name: spanOf(lines.sections[i]!.name),
        bars: bars.map(({ span, chordSpans }) => ({ span, chords: chordSpans })),
      })),
    },
  };
}
