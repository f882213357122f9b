// On which days of this week something was played.
import { weekOf } from '../../../app/core/log/days.ts';
import { today } from '../../page/clock.ts';
import { weekDays, type WeekDay } from './won.ts';
import { ask } from '../log/ask.svelte.ts';
import type { PracticeLog } from '../log/practice-log.svelte.ts';

/** For the start of a component. */
export function thisWeek(log: Pick<PracticeLog, 'ask'>): { readonly days: readonly WeekDay[] } {
  const played = ask(() => log.ask('log.days', { since: weekOf(today()) }));
  const days = $derived(weekDays(played.now ?? [], today()));
  return {
    get days() {
      return days;
    },
  };
}
