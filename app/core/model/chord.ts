// What a chord is once its symbol has been read: root, tones with their names, and the bass.
import type { Problem } from '../base/result.ts';
import type { PitchClass } from '../base/units.ts';

/** Letter with accidentals in ASCII ("F#", "Bb"); `pretty` (harmony/notes.ts) makes it printable. */
export type NoteName = string;

/** How a chart names notes: in German H is our B, B our B flat, and "is" and "es" are the accidentals. */
export type NoteNames = 'international' | 'german';

export interface ChordTone {
  /** Scientific interval name from the root, as the library `tonal` writes it: '3m', '7d', '9A'. */
  readonly interval: string;
  /** What a guitarist calls it: '1', '♭3', '♯9'. */
  readonly label: string;
  /** Above the root, 0–21. */
  readonly semitones: number;
  readonly note: NoteName;
  readonly pitchClass: PitchClass;
}

export interface SoundingChord {
  readonly kind: 'chord';
  /** As typed, in international names. */
  readonly symbol: string;
  /** How its chart names notes, where not internationally: for the eye only. */
  readonly names?: NoteNames | undefined;
  readonly root: NoteName;
  readonly rootPc: PitchClass;
  /** The part of the symbol between root and bass, as typed; kept in transposition. */
  readonly suffix: string;
  /** The same quality always gives the same word here, however it was typed: '', 'm', '7', 'maj7', 'm7b5' … */
  readonly quality: string;
  /** From the root upward, without the slash bass. */
  readonly tones: readonly ChordTone[];
  /** The root, unless the symbol has a slash bass. */
  readonly bass: NoteName;
  readonly bassPc: PitchClass;
  /** All that may sound, ascending from C, slash bass included. */
  readonly pitchClasses: readonly PitchClass[];
}

/** "N.C.": the guitar is silent. */
export interface NoChord {
  readonly kind: 'silence';
  readonly symbol: string;
}

/** A word in a chord's place that nobody can read: a chart that is checked has none. */
export interface UnreadChord {
  readonly kind: 'unread';
  readonly symbol: string;
  readonly problem: Problem;
}

/** What a chart says at a moment, read once. `symbol` is what was typed. */
export type Chord = SoundingChord | NoChord | UnreadChord;
