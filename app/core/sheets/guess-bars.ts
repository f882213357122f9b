// Where the bars of a line may lie, when nobody wrote bar lines.
import { MAX_REMARK } from '../model/limits.ts';
import type { DraftBar, PlacedChord } from './model.ts';

/**
 * A chord a bar; one that follows its neighbour within a few letters shares its bar. Words before the
 * first chord are sung in the bar before, or with the first chord where the line opens its section.
 */
export function guessBars(words: string, chords: readonly PlacedChord[]): DraftBar[] {
  return barsFrom(words, groupsOf(words, chords));
}

/** The same chords in bars of so many each. */
export function barsOfSizes(
  words: string,
  chords: readonly PlacedChord[],
  sizes: readonly number[],
): DraftBar[] {
  let from = 0;
  return barsFrom(
    words,
    sizes.map((size) => chords.slice(from, (from += size))),
  );
}

function groupsOf(
  words: string,
  chords: readonly PlacedChord[],
): readonly (readonly PlacedChord[])[] {
  const groups: PlacedChord[][] = [];
  const gaps = chords
    .slice(1)
    .map((chord, i) => chord.at - chords[i]!.at)
    .toSorted((a, b) => a - b);
  const usual = gaps[Math.floor(gaps.length / 2)] ?? 0;
  for (const chord of chords) {
    const group = groups.at(-1);
    const near = group && chord.at - group.at(-1)!.at < usual * 0.55;
    if (near && group.length < 2 && words !== '') group.push(chord);
    else groups.push([chord]);
  }
  return groups;
}

function barsFrom(words: string, groups: readonly (readonly PlacedChord[])[]): DraftBar[] {
  return groups.map((group, i) => {
    const from = i === 0 ? 0 : group[0]!.at;
    const to = groups[i + 1]?.[0]!.at ?? words.length;
    const remark = remarkOf(group);
    return {
      chords: group.map(({ symbol }) => symbol),
      words: cut(words, from, to),
      guessed: true,
      ...(remark && { remark }),
    };
  });
}

/** What stands beside chords of one bar, for the bar; undefined for nothing, and for what is too long. */
export function remarkOf(chords: readonly PlacedChord[]): string | undefined {
  const text = chords.flatMap(({ remark }) => remark ?? []).join(', ');
  return text === '' || text.length > MAX_REMARK ? undefined : text;
}

/** Words from one character to another; a word that is cut between two syllables gets a hyphen. */
export function cut(words: string, from: number, to: number): string {
  const [start, end] = [syllableAt(words, from), syllableAt(words, to)];
  const text = words.slice(start, end);
  const inside = end < words.length && /\S$/u.test(text) && /\S/u.test(words[end]!);
  return `${text.trim()}${inside && text.trim() !== '' && !text.endsWith('-') ? '-' : ''}`;
}

const SUNG = /[aeiouyäöüàáâãåæèéêëìíîïòóôõøœùúûýÿ]/iu;

/** Where a bar may begin: not where a word would leave a piece that nobody can sing (one without a vowel). */
function syllableAt(words: string, at: number): number {
  if (at <= 0 || at >= words.length || /[\s-]/u.test(words[at - 1]!)) return at;
  // A hyphen stays with what is sung before it.
  if (words[at] === '-') return at + 1;
  const start = at - /\S*$/u.exec(words.slice(0, at))![0].length;
  const [end] = /^\S*/u.exec(words.slice(at))!;
  // A last "e" is mute: "tak-e" is one syllable.
  const sung = SUNG.test(end) && !/^e[ds]?[^\p{L}]*$/iu.test(end);
  return SUNG.test(words.slice(start, at)) && sung ? at : start;
}
