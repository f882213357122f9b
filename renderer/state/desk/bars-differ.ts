// What differs between the bars that were set and those that were played or stand here: both looked up, and said in words.
import type { Assignment } from '../../../app/core/progress/assignment.ts';
import { type Reader, sayDifferences } from '../../../app/core/progress/bar-differences.ts';
import { readChartText } from '../../../app/core/chart/notation/chart-text.ts';
import { inNames } from '../../../app/core/harmony/note-names.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import type { NoteNames } from '../../../app/core/model/chord.ts';
import type { LoggedBar } from '../../../app/core/model/unit.ts';
import { loggedBar } from '../../../app/core/units/bars/logged-bars.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';
import type { Services } from '../../../app/services/contract/contract.ts';
import type { Library } from '../library/library.svelte.ts';

interface BarsAround {
  readonly library: Library;
  readonly services: Pick<Services, 'call'>;
}

/** Earlier texts of a chart that are looked through for bars which nobody has played. */
const VERSIONS = 20;

/**
 * In words for the reader; empty where one of the two is not known any more.
 * @param other fingerprint of the bars that were played; the bars of the chart as it is now if left out.
 */
export async function differencesFor(
  around: BarsAround,
  assignment: Assignment,
  reader: Reader,
  other?: string,
): Promise<readonly string[]> {
  const wanted = assignment.bars?.fingerprint;
  if (wanted === undefined) return [];
  const chart = await around.library.open(assignment.chart.id);
  const now = chart && unitIn(chart, assignment);
  const [set, played] = await Promise.all([
    barsOf(around, assignment, wanted, now),
    other === undefined ? now?.bars : barsOf(around, assignment, other, now),
  ]);
  const shown = (bars: readonly LoggedBar[]) => bars.map((bar) => inNamesOf(bar, chart?.names));
  return set && played ? sayDifferences(shown(set), shown(played), reader) : [];
}

interface BarsIn {
  readonly fingerprint: string;
  readonly bars: readonly LoggedBar[];
}

function unitIn(chart: Chart, { unit: { ref } }: Assignment): BarsIn | undefined {
  const unit = resolveUnit(chart, ref);
  if (!unit.ok) return undefined;
  return { fingerprint: unit.value.fingerprint, bars: unit.value.bars.map(loggedBar) };
}

/** From the chart as it is, from the log if they were ever played, else from an earlier text of the chart. */
async function barsOf(
  { library, services }: BarsAround,
  assignment: Assignment,
  fingerprint: string,
  now: BarsIn | undefined,
): Promise<readonly LoggedBar[] | undefined> {
  if (now?.fingerprint === fingerprint) return now.bars;
  const [logged] = await services.call('log.bars', { fingerprints: [fingerprint] });
  if (logged) return logged.bars;
  const { id } = assignment.chart;
  const versions = await library.versionsOf(id);
  for (const { at } of versions.slice(0, VERSIONS)) {
    const text = await library.versionText(id, at);
    const chart = text === undefined ? undefined : readChartText(text, id);
    const then = chart?.ok ? unitIn(chart.value, assignment) : undefined;
    if (then?.fingerprint === fingerprint) return then.bars;
  }
  return undefined;
}

/** The bar with the names that its chart shows. */
const inNamesOf = (bar: LoggedBar, names: NoteNames | undefined): LoggedBar => ({
  ...bar,
  ...(bar.held !== undefined && { held: inNames(bar.held, names) }),
  chords: bar.chords.map((chord) => ({ ...chord, symbol: inNames(chord.symbol, names) })),
});
