// How the Log room says judges.
import type { Tally } from '../../../app/core/log/tally.ts';
import type { VerdictSource } from '../../../app/core/model/pass.ts';

/** In the order in which they are said. */
const JUDGES: Readonly<Record<VerdictSource, string>> = {
  self: 'yourself',
  pedal: 'pedal',
  ear: 'the ear',
  teacher: 'teacher',
};

/** "yourself 12, the ear 3"; a figure is never shown without its judge. */
export function judgesWords(judgedBy: Tally['judgedBy']): string {
  const said = (Object.keys(JUDGES) as VerdictSource[])
    .filter((who) => judgedBy[who] > 0)
    .map((who) => `${JUDGES[who]} ${judgedBy[who]}`);
  return said.join(', ') || 'nobody yet';
}
