// The kinds of unit in the order in which the set-up offers them, and what a log says about each unit at a glance.
import type { Unit, UnitKind } from '../../../app/core/model/unit.ts';
import type { Tally } from '../../../app/core/log/tally.ts';
import { counted, percentWords } from '../../page/words.ts';

export type { UnitKind };

const WORDS: { readonly [K in UnitKind]: { readonly label: string; readonly what: string } } = {
  section: { label: 'Sections', what: 'One section from its first bar to its last.' },
  bars: { label: 'Bars', what: 'A few bars of one section, as short as one.' },
  join: { label: 'Joins', what: 'The end of one section straight into the next.' },
  pair: {
    label: 'Pairs',
    what: 'Two chords back and forth: what broke comes first, then what is hard.',
  },
  form: { label: 'Whole song', what: 'The whole chart from beginning to end.' },
  hardest: {
    label: 'Hardest changes',
    what: 'The hardest few changes of a section, each back and forth.',
  },
  lead: { label: 'Lead lines', what: 'One part of a short played line.' },
  stretch: { label: 'Stretch', what: 'Several sections of the form in a row.' },
};

export const unitKinds = (Object.keys(WORDS) as UnitKind[]).map((id) => ({ id, ...WORDS[id] }));

/** "4 bars · 67 % of 12 passes clean", or only the bars where nothing was judged yet. */
export function unitNote(unit: Unit, counts: Pick<Tally, 'clean' | 'missed'> | undefined): string {
  const bars = counted(unit.bars.length, 'bar');
  const { clean, missed } = counts ?? { clean: 0, missed: 0 };
  const judged = clean + missed;
  if (judged === 0) return bars;
  return `${bars} · ${percentWords(clean / judged)} of ${counted(judged, 'pass', 'passes')} clean`;
}
