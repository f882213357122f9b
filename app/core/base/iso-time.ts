// The one way a moment becomes text: ISO 8601 in the zone of this machine, so that a record keeps the player's own day.
import type { IsoTime } from './units.ts';

/** Years that ISO 8601 writes with four digits, a day less at both ends so that every zone has room. */
const EARLIEST = Date.parse('0000-01-02T00:00:00Z');
const LATEST = Date.parse('9999-12-30T23:59:59.999Z');

/** The moment itself, or where a clock shows a year that cannot be written, the nearest that can. */
export const writable = (date: Date): Date =>
  new Date(Math.min(Math.max(date.getTime(), EARLIEST), LATEST));

/** As in `2031-04-05T18:20:00.000+02:00`. */
export function isoTimeOf(moment: Date): IsoTime {
  const date = writable(moment);
  // Before there were zones, their offsets had seconds.
  const minutes = -Math.round(date.getTimezoneOffset());
  const local = new Date(date.getTime() + minutes * 60_000).toISOString().slice(0, -1);
  const two = (n: number) => String(Math.trunc(Math.abs(n))).padStart(2, '0');
  return `${local}${minutes < 0 ? '-' : '+'}${two(minutes / 60)}:${two(minutes % 60)}`;
}
