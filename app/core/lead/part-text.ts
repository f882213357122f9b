// One part of a lead line as a line of the chart's text: written out, or derived from a part above it.
import { fail, ok, type Problem, type Result } from '../base/result.ts';
import type { Derivation, LeadPart } from '../model/lead.ts';
import { parsePart, printPart } from './notation.ts';

const DERIVED = /^(.*\S)\s*,\s*(?:an?\s+)?(octave|third|sixth)\s+(up|down|above|below)$/iu;

/** "| 8 3/7 p5 |", "Guitar 1, octave up" or "Guitar 1, third above". */
export function parsePartText(name: string, text: string): Result<LeadPart> {
  const derived = DERIVED.exec(text);
  if (derived) return ok({ kind: 'derived', name, from: derived[1]!, by: derivation(derived) });
  if (!text.startsWith('|')) return fail(unreadable(name));
  const bars = parsePart(text, name);
  return bars.ok ? ok({ kind: 'written', name, bars: bars.value }) : bars;
}

/** Its bars as tab is typed, or the part and the interval it is derived by. */
export const printPartText = (part: LeadPart): string =>
  part.kind === 'written' ? printPart(part.bars) : `${part.from}, ${printDerivation(part.by)}`;

function derivation([, , interval, way]: RegExpExecArray): Derivation {
  const direction = /^(?:up|above)$/iu.test(way!) ? 'up' : 'down';
  const named = interval!.toLowerCase();
  if (named === 'octave') return { kind: 'octave', direction };
  return { kind: 'scale', interval: named === 'third' ? 3 : 6, direction };
}

function printDerivation(by: Derivation): string {
  if (by.kind === 'octave') return `octave ${by.direction}`;
  return `${by.interval === 3 ? 'third' : 'sixth'} ${by.direction === 'up' ? 'above' : 'below'}`;
}

const unreadable = (name: string): Problem => ({
  code: 'part-text',
  message: `the part ‘${name}’ is neither written out nor derived`,
  cure: 'Start its bars with |, or write e.g. “Guitar 1, octave up” or “Guitar 1, third above”.',
});
