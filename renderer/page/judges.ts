// Who can judge a pass, in words and as a filter.
import type { VerdictSource } from '../../app/core/model/pass.ts';
import { capital } from './words.ts';

export type JudgeChoice = VerdictSource | 'anyone';

/** In the order in which they are said. */
const JUDGES: Readonly<Record<VerdictSource, string>> = {
  self: 'yourself',
  pedal: 'pedal',
  ear: 'the ear',
  teacher: 'teacher',
};

const SOURCES = Object.keys(JUDGES) as VerdictSource[];

export const judgeChoices: readonly { readonly value: JudgeChoice; readonly label: string }[] = [
  { value: 'anyone', label: 'Anyone' },
  ...SOURCES.map((value) => ({ value, label: capital(JUDGES[value]) })),
];

/** "yourself 12, the ear 3"; a figure is never shown without its judge. */
export function judgesWords(judgedBy: Readonly<Record<VerdictSource, number>>): string {
  const said = SOURCES.filter((who) => judgedBy[who] > 0);
  return said.map((who) => `${JUDGES[who]} ${judgedBy[who]}`).join(', ') || 'nobody yet';
}
