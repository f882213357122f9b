// Roman numerals and scale numbers of chords relative to a key.
import type { NoteName, SoundingChord } from '../model/chord.ts';
import type { Key } from './key.ts';
import { fifthsOf, pretty } from './notes.ts';

/** Degree 1–7 and its sign against the major scale on the tonic: E♭ in C is '♭3'. */
function degreeOf(note: NoteName, key: Key): { readonly sign: string; readonly degree: number } {
  const letters = 'CDEFGAB';
  const steps = letters.indexOf(note[0]!) - letters.indexOf(key.tonic[0]!);
  const degree = (((steps % 7) + 7) % 7) + 1;
  const inMajor = [0, 2, 4, -1, 1, 3, 5][degree - 1]!;
  const sharps = (fifthsOf(note) - fifthsOf(key.tonic) - inMajor) / 7;
  return { sign: sharps >= 0 ? '♯'.repeat(sharps) : '♭'.repeat(-sharps), degree };
}

const ROMAN = ['I', 'II', 'III', 'IV', 'V', 'VI', 'VII'];

/** The quality without what the numeral's case already says. */
const NUMERAL_SUFFIX: ReadonlyMap<string, string> = new Map([
  ['m', ''],
  ['dim', '°'],
  ['dim7', '°7'],
  ['m7b5', 'ø7'],
  ['aug', '+'],
]);

function numeralSuffix(quality: string, minor: boolean): string {
  const special = NUMERAL_SUFFIX.get(quality);
  if (special !== undefined) return special;
  return pretty(minor ? quality.replace(/^m(?!aj)/, '') : quality);
}

const bassSuffix = (chord: SoundingChord, key: Key): string => {
  if (chord.bassPc === chord.rootPc) return '';
  const { sign, degree } = degreeOf(chord.bass, key);
  return `/${sign}${degree}`;
};

/**
 * "ii7", "V7", "♭VII", "viiø7", "I/3". Small letters for a minor third; signs are always against the
 * major scale on the tonic, in minor keys too (A minor: i, ♭III, ♭VI), as the library `tonal` writes
 * them; after the slash the bass as a scale number.
 */
export function romanNumeral(chord: SoundingChord, key: Key): string {
  const { sign, degree } = degreeOf(chord.root, key);
  const minor = chord.tones.some((tone) => tone.interval === '3m');
  const roman = minor ? ROMAN[degree - 1]!.toLowerCase() : ROMAN[degree - 1]!;
  return sign + roman + numeralSuffix(chord.quality, minor) + bassSuffix(chord, key);
}

/** "2m7", "5", "♭7", "1/3": scale numbers, for players who count. */
export function scaleNumber(chord: SoundingChord, key: Key): string {
  const { sign, degree } = degreeOf(chord.root, key);
  const suffix =
    chord.quality.startsWith('7') || /^\d/.test(chord.quality)
      ? `(${chord.quality})`
      : chord.quality;
  return sign + degree + pretty(suffix) + bassSuffix(chord, key);
}
