// Playing on: without rest bars one lap follows another at once, and the next has no count-in.
import type { LapOptions } from './model.ts';

/** Does each lap run into the next? */
export const playsOn = ({ restBars }: Pick<LapOptions, 'restBars'>): boolean => restBars === 0;

/** The options of a lap that follows another. */
export const followingOptions = (options: LapOptions): LapOptions =>
  playsOn(options) ? { ...options, countIn: 'none' } : options;
