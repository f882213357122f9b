// The one translator between what a hand fingers and what sounds. A chart names chords as they are fingered, above the
// capo, on strings tuned as usual; whatever is heard, played or written as pitch lies the capo's frets higher, and so
// much lower as all strings are tuned down alike.
import type { Fret, Midi, PitchClass, StringNo } from '../base/units.ts';
import type { Frets, Tuning } from '../model/chart.ts';
import type { SoundingChord } from '../model/chord.ts';
import { evenShift, stringPitch } from '../harmony/tunings.ts';

/** Semitones by which everything sounds above what is fingered: −12 to 12 and more, below 0 on a guitar tuned down. */
export const liftOf = ({
  capo,
  tuning,
}: {
  readonly capo: Fret;
  readonly tuning: Tuning;
}): number => capo + evenShift(tuning);

/** The pitch class that sounds where `pc` is fingered, `lift` semitones higher. */
const soundingPc = (pc: PitchClass, lift: number): PitchClass => (((pc + lift) % 12) + 12) % 12;

/** The pitch class that is fingered where `pc` is heard: the inverse of {@link soundingPc}. */
export const fingeredPc = (pc: PitchClass, lift: number): PitchClass => soundingPc(pc, -lift);

/** A fingered chord with the pitch classes that sound, `lift` semitones higher. Its names stay those that are fingered. */
export function sounding(fingered: SoundingChord, lift: number): SoundingChord {
  if (lift === 0) return fingered;
  const up = (pc: PitchClass): PitchClass => soundingPc(pc, lift);
  return {
    ...fingered,
    rootPc: up(fingered.rootPc),
    bassPc: up(fingered.bassPc),
    tones: fingered.tones.map((tone) => ({ ...tone, pitchClass: up(tone.pitchClass) })),
    pitchClasses: fingered.pitchClasses.map(up).sort((a, b) => a - b),
  };
}

/** Sounding pitch of a string stopped at a fret that is counted from the capo. */
export const pitchAt = (strings: readonly Midi[], string: StringNo, fret: Fret, capo: Fret): Midi =>
  stringPitch(strings, string, capo + fret);

/** What each string sounds where no finger presses it, capo included. */
export const openStrings = ({
  capo,
  tuning,
}: {
  readonly capo: Fret;
  readonly tuning: Tuning;
}): readonly Midi[] => tuning.strings.map((midi) => midi + capo);

/** Sounding pitches of a shape, string 6 first; null where a string is muted. */
export const pitchesOf = (
  frets: Frets,
  strings: readonly Midi[],
  capo: Fret = 0,
): readonly (Midi | null)[] =>
  frets.map((fret, i) => (fret === null ? null : pitchAt(strings, 6 - i, fret, capo)));
