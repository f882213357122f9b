// How the Log room says days and judges.
import type { Tally } from '../../../app/core/progress/tally.ts';
import type { IsoTime } from '../../../app/core/units.ts';

const day = new Intl.DateTimeFormat('en-GB', {
  weekday: 'short',
  day: 'numeric',
  month: 'short',
  year: 'numeric',
  timeZone: 'UTC',
});

/** The date the player's own clock showed, whatever the offset: "Sat, 5 Apr 2031". */
export const dayWords = (at: IsoTime): string => day.format(new Date(`${at.slice(0, 10)}T00:00Z`));

const judges = { self: 'yourself', ear: 'the ear', pedal: 'pedal', teacher: 'teacher' } as const;

/** "yourself 12, the ear 3"; a figure is never shown without its judge. */
export function judgesWords(judgedBy: Tally['judgedBy']): string {
  const said = (['self', 'pedal', 'ear', 'teacher'] as const)
    .filter((who) => judgedBy[who] > 0)
    .map((who) => `${judges[who]} ${judgedBy[who]}`);
  return said.join(', ') || 'nobody yet';
}
