// A typed part as pitches, in standard tuning.
import { unwrap } from '../../../app/core/base/result.ts';
import { parsePart } from '../../../app/core/lead/notation.ts';
import { type PitchedBar, toPitches } from '../../../app/core/lead/pitched.ts';

/** Strings 6 to 1 (npm @tombatossals/chords-db, `tunings.standard`). */
export const OPEN = [40, 45, 50, 55, 59, 64];

export const pitched = (text: string): PitchedBar[] =>
  toPitches(unwrap(parsePart(text, 'Line')), OPEN);
