// The clock of browser tests, for the machine side and for pages: in the last hour of a day it is an hour slow, so that
// what a test calls today is not over before the test is.
import { isoTimeOf } from '../../app/core/base/iso-time.ts';
import type { IsoDate } from '../../app/core/base/units.ts';
import { dateOfDay, dayNumber, localDate } from '../../app/core/log/days.ts';

/** By how many milliseconds it is slow, the same as long as a process lives. */
export const SLOW_BY_MS = new Date().getHours() === 23 ? 3_600_000 : 0;

export const testNow = (): Date => new Date(Date.now() - SLOW_BY_MS);

/** The date so many days before today, or after it if negative. */
export const daysAgo = (days: number): IsoDate =>
  dateOfDay(dayNumber(localDate(isoTimeOf(testNow()))) - days);

/** A script for pages: whatever asks for the time is told that of the tests. */
export function showTestTime(slowBy: number): void {
  const { now } = Date;
  const told = (): number => now() - slowBy;
  window.Date = new Proxy(Date, {
    construct: (target, given, newTarget) =>
      Reflect.construct(target, given.length === 0 ? [told()] : given, newTarget) as Date,
    get: (target, key) => (key === 'now' ? told : (Reflect.get(target, key) as unknown)),
  });
}
