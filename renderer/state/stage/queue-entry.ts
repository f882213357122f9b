// An entry of the queue of climbs, as it is remembered.
import type { LadderRules } from '../../../app/core/ladder/model.ts';
import { checkRules } from '../../../app/core/ladder/rungs.ts';

/** One climb of the queue before it is begun. */
export interface QueueEntry {
  readonly id: string;
  readonly chart: { readonly id: string; readonly title: string };
  readonly unit: { readonly key: string; readonly name: string };
  readonly minutes: number;
  /** An assignment's rules; else the ladder last used for the unit, or the suggested one. */
  readonly rules?: LadderRules;
}

/** Is this an entry that a queue can hold? What is remembered may come from another version. */
export function isEntry(value: unknown): value is QueueEntry {
  const { id, chart, unit, minutes, rules } = (value ?? {}) as Partial<QueueEntry>;
  const texts = [id, chart?.id, chart?.title, unit?.key, unit?.name];
  const timed = Number.isInteger(minutes) && (minutes as number) >= 1 && (minutes as number) <= 240;
  const ruled = rules === undefined || (typeof rules === 'object' && isLadder(rules));
  return texts.every((text) => typeof text === 'string') && timed && ruled;
}

const isLadder = (rules: LadderRules | null): boolean =>
  rules !== null && rules.step !== undefined && checkRules(rules).length === 0;
