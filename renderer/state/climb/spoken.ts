// What of a climb is worth saying aloud.
import type { ClimbEffect, ClimbState } from '../../../app/core/ladder/model.ts';
import type { PlayedBar } from '../../../app/core/model/unit.ts';
import { effectWords } from './words.ts';

/** What is said of an effect: verdict, move, suggestion, pause, end; '' where the click says enough. */
export function spokenWords(effect: ClimbEffect, state: ClimbState): string {
  if (effect.kind === 'play') return `${state.rungs[effect.rung]} beats per minute.`;
  return effectWords(effect, state) ?? '';
}

/** The name of the section that begins with the bar after `bar`, one bar ahead; '' where none does. */
export function sectionAhead(bars: readonly PlayedBar[], bar: number): string {
  const here = bars[bar];
  const next = bars[bar + 1];
  if (here === undefined || next === undefined) return '';
  const again = here.section === next.section && here.time === next.time;
  return again || next.bar !== 1 ? '' : next.section;
}
