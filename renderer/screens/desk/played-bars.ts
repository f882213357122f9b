// What differs between the bars that were set and those that were played: from the log, or the chart as it is now.
import type { Assignment } from '../../../app/core/progress/assignment.ts';
import { sayDifferences } from '../../../app/core/progress/bar-differences.ts';
import { inNames } from '../../../app/core/harmony/note-names.ts';
import type { NoteNames } from '../../../app/core/model/chord.ts';
import type { LoggedBar } from '../../../app/core/model/unit.ts';
import { loggedBar } from '../../../app/core/units/bars/logged-bars.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';
import type { World } from '../../state/world.ts';

/** The bar with the names that its chart shows. */
const inNamesOf = (bar: LoggedBar, names: NoteNames | undefined): LoggedBar => ({
  ...bar,
  ...(bar.held !== undefined && { held: inNames(bar.held, names) }),
  chords: bar.chords.map((chord) => ({ ...chord, symbol: inNames(chord.symbol, names) })),
});

/** In words for the teacher; empty where one of the two is not known any more. */
export async function differencesFor(
  { library, services }: Pick<World, 'library' | 'services'>,
  assignment: Assignment,
  played: string,
): Promise<readonly string[]> {
  const set = assignment.bars?.fingerprint;
  if (set === undefined) return [];
  const chart = await library.open(assignment.chart.id);
  const unit = chart && resolveUnit(chart, assignment.unit.ref);
  const known = await services.call('log.bars', { fingerprints: [set, played] });
  const logged = (print: string): readonly LoggedBar[] | undefined =>
    known.find(({ fingerprint }) => fingerprint === print)?.bars;
  const now =
    unit?.ok && unit.value.fingerprint === set ? unit.value.bars.map(loggedBar) : logged(set);
  const then = logged(played);
  const shown = (bars: readonly LoggedBar[]) => bars.map((bar) => inNamesOf(bar, chart?.names));
  return now && then ? sayDifferences(shown(now), shown(then), 'teacher') : [];
}
