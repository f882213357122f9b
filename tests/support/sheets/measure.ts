// How well sheets are read: chords on their characters, sections by name and order, sheets without a fault.
import { readSheet } from '../../../app/core/sheets/read.ts';
import { type SheetStyle, STYLES, germanName, printSheet, truthOf } from './print-sheet.ts';
import { SONGS, type Song } from './songs.ts';

export interface SheetScore {
  readonly name: string;
  readonly chords: number;
  readonly chordsRight: number;
  readonly sections: number;
  readonly sectionsRight: number;
  readonly faults: readonly string[];
}

const same = (name: string): string => name.toLowerCase().replace(/\s+/gu, ' ');

function scoreSheet(song: Song, style: SheetStyle): SheetScore {
  const sheet = readSheet(printSheet(song, style));
  const faults: string[] = [];
  const named = style.name === 'German' ? germanName : (name: string) => name;
  const wanted = song.sections.map(({ name }) => same(named(name)));
  const found = sheet.sections.map(({ name }) => same(name));
  const sectionsRight = wanted.filter((name, i) => found[i] === name).length;
  if (wanted.join() !== found.join())
    faults.push(`sections ${found.join(', ')}; wanted ${wanted.join(', ')}`);
  let chords = 0;
  let chordsRight = 0;
  song.sections.forEach(({ lines }, s) => {
    const read = sheet.sections[s]?.lines ?? [];
    lines.map(truthOf).forEach((truth, i) => {
      const line = read[i];
      const sung = style.chords !== 'bars' && truth.words.trim() !== '';
      if (sung && line?.words !== truth.words.trim())
        faults.push(`words “${line?.words}”; wanted “${truth.words}”`);
      truth.chords.forEach(([symbol, at], k) => {
        chords++;
        const chord = line?.chords[k];
        const right = chord?.symbol === symbol && (!sung || chord.at === at);
        if (right) chordsRight++;
        else
          faults.push(
            `${symbol}@${at} read as ${chord ? `${chord.symbol}@${chord.at}` : 'nothing'} in “${truth.words}”`,
          );
      });
      if (line && line.chords.length > truth.chords.length)
        faults.push(`too many chords in “${truth.words}”`);
    });
    if (read.length > lines.length)
      faults.push(`${read.length} lines in ${wanted[s]}; wanted ${lines.length}`);
  });
  if (sheet.title !== song.title) faults.push(`title “${sheet.title}”`);
  return {
    name: `${song.title}, ${style.name}`,
    chords,
    chordsRight,
    sections: wanted.length,
    sectionsRight,
    faults,
  };
}

/** The sixty sheets, each song set in the six ways of its row. */
export const scoreAll = (): readonly SheetScore[] =>
  SONGS.flatMap((song, i) => STYLES[i % STYLES.length]!.map((style) => scoreSheet(song, style)));

export interface Shares {
  readonly chords: number;
  readonly sections: number;
  readonly faultless: number;
}

export function sharesOf(scores: readonly SheetScore[]): Shares {
  const sum = (of: (score: SheetScore) => number): number => scores.reduce((a, s) => a + of(s), 0);
  return {
    chords: sum((s) => s.chordsRight) / sum((s) => s.chords),
    sections: sum((s) => s.sectionsRight) / sum((s) => s.sections),
    faultless: sum((s) => (s.faults.length === 0 ? 1 : 0)) / scores.length,
  };
}
