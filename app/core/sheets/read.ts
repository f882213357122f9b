// Reads a sheet of chords and words as people have it: chords above words, in brackets, or in bars.
//
// Three looks, each at the whole sheet: how it names chords and where it sets them (`dialect`); what each line is, all
// lines together (`decide` over the weighted readings of `readings`); what comes of it (`assemble`). Where it has tabs it is
// looked at with every usual distance between their stops, and taken with the one that sets its chords best.
import { Assembly } from './assemble.ts';
import { decide } from './decide.ts';
import { dialectOf, withSquareBrackets } from './dialect.ts';
import { linesIn } from './line.ts';
import { mannerOf } from './manner.ts';
import type { Sheet } from './model.ts';
import { TAB_STOPS, linesOf, singleSpaced } from './text.ts';

/** Any text gives a sheet, perhaps an empty one; nothing is lost without being named in `leftOut`. */
export function readSheet(text: string): Sheet {
  const stops = text.includes('\t') ? TAB_STOPS : TAB_STOPS.slice(0, 1);
  const ways = stops.map((columns) => readWith(linesOf(text, columns)));
  return ways.toSorted((a, b) => b.fit - a.fit)[0]!.sheet();
}

function readWith(typed: readonly string[]): Assembly {
  const numbered = singleSpaced(withSquareBrackets(typed));
  const lineTexts = numbered.map(({ text: line }) => line);
  const dialect = dialectOf(lineTexts);
  const lines = linesIn(numbered, dialect);
  return new Assembly(lines, decide(lines, mannerOf(lines, dialect)), dialect);
}
