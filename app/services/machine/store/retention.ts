// Which copies stay: the first of each of the latest seven days and four weeks.
import { weekOf } from '../../../core/log/days.ts';
import type { IsoDate } from '../../../core/base/units.ts';

const KEPT_DAYS = 7;
const KEPT_WEEKS = 4;

/** @param all latest first */
export const worthKeeping = <T>(all: readonly T[], dayOf: (one: T) => IsoDate): Set<T> =>
  new Set([
    ...firstOfEach(all, dayOf).slice(0, KEPT_DAYS),
    ...firstOfEach(all, (one) => weekOf(dayOf(one))).slice(0, KEPT_WEEKS),
  ]);

const firstOfEach = <T>(all: readonly T[], key: (one: T) => string): T[] =>
  [...Map.groupBy(all, key).values()].map((those) => those[0]!);
