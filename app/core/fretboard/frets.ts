// Shapes as guitarists write them: "x32010" from string 6 to string 1, or "10.12.12.11.10.10" high up.
import { type Result, fail, ok } from '../base/result.ts';
import type { Fret } from '../base/units.ts';
import { MAX_FRET } from '../model/limits.ts';
import type { Frets } from '../model/chart.ts';

export const STRINGS = 6;

/** Plain digits where every fret has one, else parted by dots. */
export function printFrets(frets: Frets): string {
  const wide = frets.some((fret) => fret !== null && fret > 9);
  return frets.map((fret) => (fret === null ? 'x' : String(fret))).join(wide ? '.' : '');
}

/** Reads both forms; X is as good as x. Six strings, frets 0–24, at least one string sounding. */
export function parseFrets(text: string): Result<Frets> {
  const trimmed = text.trim().toLowerCase();
  const parts = /[.\s]/.test(trimmed) ? trimmed.split(/[.\s]+/) : [...trimmed];
  const frets = parts.map(readFret);
  if (frets.length !== STRINGS) {
    return bad('shape-strings', `“${text.trim()}” has ${frets.length} strings, not ${STRINGS}`);
  }
  if (frets.includes(undefined)) {
    return bad('shape-fret', `“${text.trim()}” has a fret that is not x or 0 to ${MAX_FRET}`);
  }
  if (frets.every((fret) => fret === null)) {
    return bad('shape-silent', `“${text.trim()}” leaves no string sounding`);
  }
  return ok(frets as Fret[]);
}

const bad = (code: string, message: string): Result<never> =>
  fail({
    code,
    message,
    cure: 'Write string 6 to string 1, e.g. x32010, or 10.12.12.11.10.10 above fret 9.',
  });

function readFret(text: string): Fret | null | undefined {
  if (text === 'x') return null;
  return /^\d{1,2}$/.test(text) && Number(text) <= MAX_FRET ? Number(text) : undefined;
}
