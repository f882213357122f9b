// Reads a sheet of chords and words as people have it: chords above words, in brackets, or in bars.
//
// Three looks, each at the whole sheet: how it names chords and where it sets them (`dialect`); what each line is, all
// lines together (`decide` over the weighted readings of `readings`); what comes of it (`assemble`).
import { assemble } from './assemble.ts';
import { decide } from './decide.ts';
import { dialectOf, withSquareBrackets } from './dialect.ts';
import type { Sheet } from './model.ts';
import { linesIn, mannerOf } from './readings.ts';
import { linesOf, singleSpaced } from './text.ts';

/** Any text gives a sheet, perhaps an empty one; nothing is lost without being named in `leftOut`. */
export function readSheet(text: string): Sheet {
  const numbered = singleSpaced(withSquareBrackets(linesOf(text)));
  const dialect = dialectOf(numbered.map(({ text: line }) => line));
  const lines = linesIn(numbered, dialect);
  return assemble(lines, decide(lines, mannerOf(lines, dialect)), dialect);
}
