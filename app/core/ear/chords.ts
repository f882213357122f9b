// The chords that might have been heard instead of the expected one, and how well the evidence fits each.
import type { Fret, PitchClass, Share } from '../base/units.ts';
import { fingeredPc, soundingPc } from '../fretboard/capo.ts';
import { QUALITIES, semitonesOf } from '../harmony/vocabulary.ts';
import type { ExpectedChord } from './model.ts';

export type SlipKind = 'right' | 'held' | 'swap' | 'no-seventh' | 'tone-lost' | 'other';

export interface Hypothesis {
  readonly kind: SlipKind;
  /** Fingered name in ASCII; the expected symbol for 'right' and 'tone-lost'. */
  readonly symbol: string;
  readonly pitchClasses: readonly PitchClass[];
}

const NAMES = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'] as const;

/** What a guitarist is likely to grip by mistake: suffix and semitones above the root. */
const GRIPPED: readonly (readonly [string, readonly number[]])[] = QUALITIES.flatMap(
  ({ name, intervals, gripped }) =>
    gripped ? [[name, intervals.map((i) => semitonesOf(i) % 12)] as const] : [],
);

/** Everything worth comparing; sets that equal the expected one are left out, the first of equal ones is kept. */
export function hypothesesFor(to: ExpectedChord, from: ExpectedChord | null): Hypothesis[] {
  const right: Hypothesis = { kind: 'right', symbol: to.symbol, pitchClasses: to.pitchClasses };
  const held: Hypothesis[] = from
    ? [{ kind: 'held', symbol: from.symbol, pitchClasses: from.pitchClasses }]
    : [];
  const all = [
    right,
    ...held,
    ...swapped(to),
    ...withoutSeventh(to),
    ...withoutTone(to),
    ...others(to.capo),
  ];
  const seen = new Set<string>();
  return all.filter(({ pitchClasses }) => {
    const key = pitchClasses.toSorted((a, b) => a - b).join();
    return !seen.has(key) && seen.add(key);
  });
}

const above = (root: PitchClass, semitones: number): PitchClass => (root + semitones) % 12;

function swapped(to: ExpectedChord): Hypothesis[] {
  const [major, minor] = [above(to.root, 4), above(to.root, 3)];
  const has = (pc: PitchClass) => to.pitchClasses.includes(pc);
  if (has(major) === has(minor)) return [];
  const [out, into] = has(major) ? [major, minor] : [minor, major];
  const pitchClasses = to.pitchClasses.map((pc) => (pc === out ? into : pc));
  return [{ kind: 'swap', symbol: nameOf(pitchClasses, to), pitchClasses }];
}

function withoutSeventh(to: ExpectedChord): Hypothesis[] {
  return [10, 11]
    .map((semitones) => above(to.root, semitones))
    .filter((seventh) => to.pitchClasses.includes(seventh))
    .map((seventh) => {
      const pitchClasses = to.pitchClasses.filter((pc) => pc !== seventh);
      return { kind: 'no-seventh', symbol: nameOf(pitchClasses, to), pitchClasses };
    });
}

/** One string dead that alone carries its tone; without a known shape any tone but the root. */
function withoutTone(to: ExpectedChord): Hypothesis[] {
  const carriers = (pc: PitchClass) =>
    to.strings?.filter((m) => m !== null && m % 12 === pc).length ?? 1;
  return to.pitchClasses
    .filter((pc) => pc !== to.root && carriers(pc) === 1)
    .map((lost) => ({
      kind: 'tone-lost',
      symbol: to.symbol,
      pitchClasses: to.pitchClasses.filter((pc) => pc !== lost),
    }));
}

const others = (capo: Fret): readonly Hypothesis[] =>
  NAMES.flatMap((name, fingered) =>
    GRIPPED.map(([suffix, semitones]) => ({
      kind: 'other' as const,
      symbol: name + suffix,
      pitchClasses: semitones.map((s) => above(soundingPc(fingered, capo), s)),
    })),
  );

/** The fingered name of a set on this chord's root, or the root and "?" where no listed quality fits. */
function nameOf(pitchClasses: readonly PitchClass[], { root, capo }: ExpectedChord): string {
  const wanted = pitchClasses
    .map((pc) => (pc - root + 12) % 12)
    .toSorted((a, b) => a - b)
    .join();
  const found = GRIPPED.find(
    ([, semitones]) => semitones.toSorted((a, b) => a - b).join() === wanted,
  );
  return NAMES[fingeredPc(root, capo)]! + (found ? found[0] : '?');
}

/** Log likelihood of exactly these pitch classes sounding, each being present with its own probability. */
export function fit(present: readonly Share[], { pitchClasses }: Hypothesis): number {
  let sum = 0;
  for (let pc = 0; pc < 12; pc++) {
    const p = Math.min(1 - 1e-4, Math.max(1e-4, present[pc]!));
    sum += Math.log(pitchClasses.includes(pc) ? p : 1 - p);
  }
  return sum;
}
