// The lap of the unit alone: no count-in, no rest bars, nothing said of its changes.
import type { LapOptions } from './model.ts';

/** For whoever needs the unit's times and not what clicks. */
export const BARE_LAP: LapOptions = {
  countIn: 'none',
  restBars: 0,
  click: { kind: 'every-beat' },
  subdivision: 1,
  cueBeats: 0,
  markChanges: false,
};

/** One bar of counting in, and clicks at every beat and change: what a recording may have caught. */
export const RECORDED_LAP: LapOptions = { ...BARE_LAP, countIn: 'one', markChanges: true };
