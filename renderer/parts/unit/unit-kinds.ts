// The kinds of unit in the order in which the set-up offers them, and what a log says about each unit at a glance.
import type { Unit, UnitRef } from '../../../app/core/model/unit.ts';
import type { PassRecord } from '../../../app/core/model/pass.ts';
import { tally } from '../../../app/core/log/tally.ts';
import { counted, percentWords } from '../../page/words.ts';

export type UnitKind = UnitRef['kind'];

export const unitKinds: readonly {
  readonly id: UnitKind;
  readonly label: string;
  readonly what: string;
}[] = [
  { id: 'section', label: 'Sections', what: 'One section from its first bar to its last.' },
  { id: 'bars', label: 'Bars', what: 'A few bars of one section, as short as one.' },
  { id: 'seam', label: 'Seams', what: 'The end of one section straight into the next.' },
  { id: 'pair', label: 'Pairs', what: 'Two chords back and forth, with the beats they have here.' },
  { id: 'form', label: 'Form', what: 'The whole chart from beginning to end.' },
  {
    id: 'tightest',
    label: 'Tight changes',
    what: 'The hardest few changes of a section, each back and forth.',
  },
  { id: 'line', label: 'Lead lines', what: 'One part of a short played line.' },
  { id: 'stretch', label: 'Stretch', what: 'Several sections of the form in a row.' },
];

/** "4 bars · 67 % of 12 passes clean", or only the bars where nothing was judged yet. */
export function unitNote(unit: Unit, passes: readonly PassRecord[]): string {
  const bars = counted(unit.bars.length, 'bar');
  const { shareClean, clean, missed } = tally(passes);
  if (shareClean === undefined) return bars;
  return `${bars} · ${percentWords(shareClean)} of ${counted(clean + missed, 'pass', 'passes')} clean`;
}
