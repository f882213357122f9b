// What each beat of a meter asks of the drums: the groove's definition, which the tests hold the events against.
import type { DrumsWord } from '../model/band.ts';
import type { Meter } from '../model/chart.ts';
import { beatsOf, isCompound } from '../rhythm/meter.ts';

/** 'lift' is a soft snare, as on two and three of a waltz; 'none' leaves the beat to the hi-hat. */
export type BeatRole = 'kick' | 'snare' | 'lift' | 'none';

/**
 * Common practice, no source: kick and snare alternate over two and four beats (kick on 1 and 3, snare on
 * 2 and 4); a bar of three is a waltz; in odd meters every group of units has its own kick and ends on
 * the snare. In 6/8 and 12/8 the dotted beats alternate. Half-time keeps one snare in the middle.
 */
export function rolesOf(meter: Meter, word: DrumsWord = 'kit'): readonly BeatRole[] {
  const count = beatsOf(meter).length;
  if (word === 'half-time' && count >= 2) return halfTime(count);
  if (meter.unit >= 8) return overGroups(count, isCompound(meter));
  if (count === 3) return WALTZ;
  return meter.grouping.flatMap((size) => withinGroup(size));
}

const WALTZ: readonly BeatRole[] = ['kick', 'lift', 'lift'];

const alternating = (count: number): readonly BeatRole[] =>
  Array.from({ length: count }, (_, i) => (i % 2 === 0 ? 'kick' : 'snare'));

const halfTime = (count: number): readonly BeatRole[] =>
  Array.from({ length: count }, (_, i) =>
    i === 0 ? 'kick' : i === Math.floor(count / 2) ? 'snare' : 'none',
  );

/** Meters counted in eighths or sixteenths: every group is one beat. */
function overGroups(count: number, compound: boolean): readonly BeatRole[] {
  if (count === 3 && compound) return WALTZ;
  if (count % 2 === 0 || count === 1) return alternating(count);
  return [...alternating(count - 3), 'kick', 'none', 'snare'];
}

/** Meters counted in quarters or halves: the groups only mark the stress. */
function withinGroup(size: number): readonly BeatRole[] {
  if (size % 2 === 0 || size === 1) return alternating(size);
  return [...alternating(size - 3), 'kick', 'none', 'snare'];
}
