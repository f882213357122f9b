// How far from its due moment a change is played, by who plays it.
import type { Seconds } from '../../../app/core/base/units.ts';
import type { Dice } from './random.ts';

/** In time (SD 12 ms), and well within an eighth of a beat. */
export function cleanError(d: Dice, beat: Seconds): Seconds {
  const most = Math.min(0.04, (0.7 * beat) / 8);
  return Math.max(-most, Math.min(most, d.normal(0, 0.012)));
}

/** 80 % about in time, 14 % late by up to 200 ms, 6 % early by up to 60 ms. */
export function timingError(d: Dice, gap: Seconds, beat: Seconds): Seconds {
  const most = Math.min(0.2, 0.8 * gap);
  const kind = d.weighted([
    ['in-time', 80],
    ['late', 14],
    ['early', 6],
  ] as const);
  if (kind === 'late') return d.between(Math.min(0.04, most / 2), most);
  if (kind === 'early') return -d.between(0.02, Math.min(0.06, beat / 5));
  return Math.max(-0.04, Math.min(0.04, d.normal(0, 0.012)));
}
