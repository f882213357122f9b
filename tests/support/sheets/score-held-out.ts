// Scores the sheets that were written apart from the reader, by the same counts as the sixty.
import { readChord } from '../../../app/core/harmony/read.ts';
import { readSheet } from '../../../app/core/sheets/read.ts';
import { type HeldOut, markedLine } from './held-out.ts';
import type { SheetScore } from './measure.ts';

/** “1. Strophe” and “Strophe” are one name here, as are “1” and “Verse 1”, “Ref.” and “Ref”. */
const same = (name: string): string =>
  name
    .toLowerCase()
    .replace(/\s+/gu, ' ')
    .replace(/^\d{1,2}[.)] (?=\p{L})|\.$/gu, '')
    .replace(/^(?=\d{1,2}$)/u, 'verse ')
    .trim();
const ascii = (symbol: string): string => symbol.replaceAll('♭', 'b').replaceAll('♯', '#');

/** “C-9” and “Cm9” are one chord. */
function sameChord(a: string, b: string): boolean {
  const [one, other] = [readChord(ascii(a)), readChord(ascii(b))];
  if (!one.ok || !other.ok || one.value.kind !== 'chord' || other.value.kind !== 'chord')
    return ascii(a) === ascii(b);
  const sound = ({ rootPc, quality, bassPc }: typeof one.value): string =>
    [rootPc, quality, bassPc].join();
  return sound(one.value) === sound(other.value);
}

export function scoreHeldOut({ name, text, truth }: HeldOut, sheet = readSheet(text)): SheetScore {
  const faults: string[] = [];
  const found = sheet.sections.map((section) => same(section.name));
  const wanted = truth.map(([section]) => same(section));
  if (found.join() !== wanted.join())
    faults.push(`sections ${found.join(', ')}; wanted ${wanted.join(', ')}`);
  let chords = 0;
  let chordsRight = 0;
  truth.forEach(([, lines], s) => {
    const read = sheet.sections[s]?.lines ?? [];
    lines.map(markedLine).forEach((line, i) => {
      const sung = line.words.trim() !== '';
      if (sung && read[i]?.words !== line.words.trim())
        faults.push(`words “${read[i]?.words ?? ''}”; wanted “${line.words.trim()}”`);
      line.chords.forEach(([symbol, at], k) => {
        chords++;
        const chord = read[i]?.chords[k];
        // Behind the words there is no character, and no place is righter than another.
        const end = line.words.trimEnd().length;
        const right =
          chord &&
          sameChord(chord.symbol, symbol) &&
          (!sung || Math.min(chord.at, end) === Math.min(at, end));
        if (right) chordsRight++;
        else faults.push(`${symbol}@${at}: ${chord ? `${chord.symbol}@${chord.at}` : 'nothing'}`);
      });
      if ((read[i]?.chords.length ?? 0) > line.chords.length)
        faults.push(`too many chords: ${line.words}`);
    });
    if (read.length > lines.length) faults.push(`${read.length} lines in ${wanted[s]!}`);
  });
  const sectionsRight = wanted.filter((section, i) => found[i] === section).length;
  return { name, chords, chordsRight, sections: wanted.length, sectionsRight, faults };
}
