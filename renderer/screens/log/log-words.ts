// How the Log room says judges.
import type { Tally } from '../../../app/core/log/tally.ts';

const judges = { self: 'yourself', ear: 'the ear', pedal: 'pedal', teacher: 'teacher' } as const;

/** "yourself 12, the ear 3"; a figure is never shown without its judge. */
export function judgesWords(judgedBy: Tally['judgedBy']): string {
  const said = (['self', 'pedal', 'ear', 'teacher'] as const)
    .filter((who) => judgedBy[who] > 0)
    .map((who) => `${judges[who]} ${judgedBy[who]}`);
  return said.join(', ') || 'nobody yet';
}
