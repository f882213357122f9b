// Luck that repeats: the same seed and place always fall the same way.
import type { Share } from '../base/units.ts';

/** A number from 0 up to 1 for a place in the music (mulberry32, public domain; from memory). */
export function chance(seed: number, ...place: readonly number[]): Share {
  let state = seed | 0;
  for (const part of place)
    state = Math.imul(state ^ (part + 0x9e37), 0x85eb_ca6b) ^ (state >>> 13);
  state = (state + 0x6d2b_79f5) | 0;
  let t = Math.imul(state ^ (state >>> 15), 1 | state);
  t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
  return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
}

/** The item that lies at this share (0 to 1) of the list. @param items at least one */
export const pick = <T>(items: readonly T[], share: Share): T =>
  items[Math.min(items.length - 1, Math.floor(share * items.length))]!;
