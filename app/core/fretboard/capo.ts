// The one translator between what a hand fingers and what sounds. A chart names chords as they are fingered,
// above the capo; whatever is heard, played or written as pitch lies the capo's frets higher.
import type { Fret, Midi, PitchClass, StringNo } from '../base/units.ts';
import type { Result } from '../base/result.ts';
import type { Frets } from '../model/chart.ts';
import type { SoundingChord } from '../model/chord.ts';
import type { Key } from '../harmony/key.ts';
import { stringPitch } from '../harmony/tunings.ts';
import { transposeSymbol } from '../harmony/transpose.ts';

/** The pitch class that sounds where `pc` is fingered above a capo. */
export const soundingPc = (pc: PitchClass, capo: Fret): PitchClass => (pc + capo) % 12;

/** The pitch class that is fingered where `pc` is heard: the inverse of {@link soundingPc}. */
export const fingeredPc = (pc: PitchClass, capo: Fret): PitchClass =>
  (((pc - capo) % 12) + 12) % 12;

/** A fingered chord with the pitch classes that sound above a capo. Its names stay those that are fingered. */
export function sounding(fingered: SoundingChord, capo: Fret): SoundingChord {
  if (capo === 0) return fingered;
  const up = (pc: PitchClass): PitchClass => soundingPc(pc, capo);
  return {
    ...fingered,
    rootPc: up(fingered.rootPc),
    bassPc: up(fingered.bassPc),
    tones: fingered.tones.map((tone) => ({ ...tone, pitchClass: up(tone.pitchClass) })),
    pitchClasses: fingered.pitchClasses.map(up).sort((a, b) => a - b),
  };
}

/** What is heard when `fingered` is played above a capo: G with the capo at 2 sounds A. */
export const soundingSymbol = (fingered: string, capo: Fret, key?: Key): Result<string> =>
  transposeSymbol(fingered, capo, key);

/** Sounding pitch of a string stopped at a fret that is counted from the capo. */
export const pitchAt = (strings: readonly Midi[], string: StringNo, fret: Fret, capo: Fret): Midi =>
  stringPitch(strings, string, capo + fret);

/** Sounding pitches of a shape, string 6 first; null where a string is muted. */
export const pitchesOf = (
  frets: Frets,
  strings: readonly Midi[],
  capo: Fret = 0,
): readonly (Midi | null)[] =>
  frets.map((fret, i) => (fret === null ? null : pitchAt(strings, 6 - i, fret, capo)));
