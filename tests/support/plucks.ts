// The model guitar's strings, rendered once for all tests that hear them.
import type { SampleRate } from '../../app/core/base/units.ts';
import { Plucks } from '../../app/core/sound/guitar.ts';

const made = new Map<SampleRate, Plucks>();

export function plucksAt(rate: SampleRate): Plucks {
  const known = made.get(rate) ?? new Plucks(rate);
  made.set(rate, known);
  return known;
}
