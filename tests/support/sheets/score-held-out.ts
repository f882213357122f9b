// Scores the sheets that were written apart from the reader, by the same counts as the sixty.
import { readSheet } from '../../../app/core/sheets/read.ts';
import { type HeldOut, markedLine } from './held-out.ts';
import type { SheetScore } from './measure.ts';

const same = (name: string): string => name.toLowerCase().replace(/\s+/gu, ' ').trim();
const ascii = (symbol: string): string => symbol.replaceAll('♭', 'b').replaceAll('♯', '#');

export function scoreHeldOut({ name, text, truth }: HeldOut): SheetScore {
  const sheet = readSheet(text);
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
        const right = chord && ascii(chord.symbol) === ascii(symbol) && (!sung || chord.at === at);
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
