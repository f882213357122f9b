// Reads what is sung from the notes of whichever part has words under them (W3C MusicXML 4.0, lyric).
import { type Rational, add, compare, toNumber, ZERO } from '../../../base/rational.ts';
import { isSayable, placedWords } from '../../../chart/form/sung-places.ts';
import { isSyllable } from '../../../chart/rules/syllable.ts';
import { MAX_SYLLABLE, MAX_SYLLABLES, MAX_VERSES } from '../../../model/limits.ts';
import type { BarWords, Syllable } from '../../../model/chart.ts';
import { slotsOf } from '../../../rhythm/slots.ts';
import type { SheetBar } from '../sheet.ts';
import { type XmlNode, childAt, childrenOf, numberAt, textAt } from '../xml-read.ts';
import { notesIn } from './notes.ts';
import { bounded, quartersOf } from './quarters.ts';

interface SungAt extends Syllable {
  readonly place: Rational;
}

/** The verses of one measure, first verse first. */
type MeasureWords = readonly (readonly SungAt[])[];

/** The bars with the words of the part that has most of them. */
export function withLyrics(
  bars: readonly SheetBar[],
  parts: readonly XmlNode[],
): readonly SheetBar[] {
  const sung = parts.map((part) => ({ part, count: countLyrics(part) }));
  const best = sung.toSorted((a, b) => b.count - a.count)[0];
  if (!best || best.count === 0) return bars;
  const words = wordsOf(best.part);
  return bars.map((bar, i) => {
    const verses = (words[i] ?? []).slice(0, MAX_VERSES).map((verse) => placed(verse, bar));
    return verses.some((verse) => verse.length > 0) ? { ...bar, words: verses } : bar;
  });
}

/** How many syllables the part has, in all its verses. */
export function countLyrics(part: XmlNode): number {
  let count = 0;
  for (const note of notesIn(part))
    for (const child of note.children) if (child.name === 'lyric') count++;
  return count;
}

function wordsOf(part: XmlNode): readonly MeasureWords[] {
  let divisions = 1;
  return childrenOf(part, 'measure').map((measure) => {
    const verses: SungAt[][] = [];
    let cursor = ZERO;
    for (const node of measure.children) {
      divisions = numberAt(childAt(node, 'divisions') ? node : undefined, 'divisions') ?? divisions;
      if (node.name === 'note' && !childAt(node, 'grace')) {
        for (const lyric of childrenOf(node, 'lyric')) addLyric(verses, lyric, cursor);
        if (!childAt(node, 'chord')) cursor = moved(cursor, node, divisions, 1);
      }
      if (node.name === 'forward') cursor = moved(cursor, node, divisions, 1);
      if (node.name === 'backup') cursor = moved(cursor, node, divisions, -1);
    }
    return Array.from(verses, (verse) =>
      (verse ?? []).toSorted((a, b) => toNumber(a.place) - toNumber(b.place)),
    );
  });
}

function moved(cursor: Rational, node: XmlNode, divisions: number, way: 1 | -1): Rational {
  const by = quartersOf(way * (numberAt(node, 'duration') ?? 0), divisions > 0 ? divisions : 1);
  const to = bounded(add(cursor, by));
  return compare(to, ZERO) < 0 ? ZERO : to;
}

/** Numbers beyond figures ("chorus") are the first verse. */
function addLyric(verses: SungAt[][], lyric: XmlNode, place: Rational): void {
  const number = Number(/\d{1,2}/.exec(lyric.attributes.number ?? '')?.[0] ?? 1);
  // Two syllables on one note are joined by the sign for it.
  const text = childrenOf(lyric, 'text')
    .map((node) => node.text.trim().replace(/\s+/gu, '‿'))
    .join('‿')
    .replaceAll('|', '')
    .replace(/^-+/u, '')
    .slice(0, MAX_SYLLABLE);
  if (!isSyllable(text) || number < 1) return;
  const syllabic = textAt(lyric, 'syllabic');
  const joined = syllabic === 'begin' || syllabic === 'middle';
  (verses[number - 1] ??= []).push({ text, ...(joined && { joined }), place });
}

/** What stands past the end of its bar belongs to no bar. */
function placed(verse: readonly SungAt[], { meter, length, pickup }: SheetBar): BarWords {
  const inside = verse.filter(({ place }) => compare(place, length) < 0).slice(0, MAX_SYLLABLES);
  const words = inside.map(({ place: _place, ...syllable }): Syllable => syllable);
  const places = inside.map(({ place }) => place);
  const sayable = isSayable(slotsOf(meter, pickup ? length : undefined));
  return placedWords(words, places, length, sayable);
}
