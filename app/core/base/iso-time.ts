// The one way a moment becomes text: ISO 8601 in the zone of this machine, so that a record keeps the player's own day.
import type { IsoTime } from './units.ts';

/** As in `2031-04-05T18:20:00.000+02:00`. */
export function isoTimeOf(date: Date): IsoTime {
  const minutes = -date.getTimezoneOffset();
  const local = new Date(date.getTime() + minutes * 60_000).toISOString().slice(0, -1);
  const two = (n: number) => String(Math.trunc(Math.abs(n))).padStart(2, '0');
  return `${local}${minutes < 0 ? '-' : '+'}${two(minutes / 60)}:${two(minutes % 60)}`;
}
