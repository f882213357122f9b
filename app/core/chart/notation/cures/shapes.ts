// Cures for frets that stand alone in a bar.
import { nameNotes } from '../../../harmony/naming.ts';
import { readKey } from '../../../harmony/key.ts';
import { parseFrets } from '../../../fretboard/frets.ts';
import { pitchesOf } from '../../../fretboard/capo.ts';
import { soundingPitches } from '../../../fretboard/shape.ts';
import { STANDARD, namedStrings, readTuning } from '../../../harmony/tunings.ts';
import { type Replacement, type MistakePlace, behindChord, fieldOf } from './cure.ts';

/** Frets alone: named by what sounds, spelled in the key; those behind a space belong to the chord before. */
export function shape({
  typed,
  span,
  line,
  lines,
}: MistakePlace): string | Replacement | undefined {
  const before = line.slice(0, span.column - 1);
  const joined = typed.startsWith('[') ? behindChord(before, typed, span) : undefined;
  if (joined) return joined;
  const frets = parseFrets(typed.replace(/^\[|\]$/gu, ''));
  if (!frets.ok) return '/';
  const key = readKey(fieldOf(lines, 'key') ?? '');
  const tuning = readTuning(fieldOf(lines, 'tuning') ?? '');
  const open = namedStrings(tuning.ok ? tuning.value : STANDARD);
  const named = nameNotes(
    soundingPitches(pitchesOf(frets.value, open)),
    key.ok ? key.value : undefined,
  );
  return named.ok ? `${named.value[0]!.symbol}[${typed.replace(/^\[|\]$/gu, '')}]` : '/';
}
