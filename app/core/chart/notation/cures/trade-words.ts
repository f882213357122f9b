// Words of the trade that are typed into bars and are written otherwise here, or not at all.
import { editDistance } from '../../../harmony/nearest.ts';

/** What a word is written as; an empty string where it has no place in a bar. */
const WORDS: ReadonlyMap<string, string> = new Map([
  ['rit', 'rit.'],
  ['rall', 'rall.'],
  ['accel', 'accel.'],
  ['ritardando', 'rit.'],
  ['ritard', 'rit.'],
  ['ritenuto', 'rit.'],
  ['slower', 'rit.'],
  ['rallentando', 'rall.'],
  ['accelerando', 'accel.'],
  ['faster', 'accel.'],
  ['atempo', 'a tempo'],
  ['a-tempo', 'a tempo'],
  ['hold', 'fermata'],
  ['pause', 'fermata'],
  ['rest', 'N.C.'],
  ['silence', 'N.C.'],
  ['stop', 'N.C.'],
  ['times', ''],
  ['repeat', '%'],
  ['simile', '%'],
  ['upbeat', 'pickup'],
  ['anacrusis', 'pickup'],
]);

/** Words that a slip of two signs may hide. */
const LONG = ['fermata', 'pickup'];

/** Letters of the shortest word here. */
const SHORTEST = 4;

/** What is written for a word of the trade, or for one of the notation that is misspelt. */
export function tradeWord(sign: string): string | undefined {
  // Every chord of a chart is asked at every keystroke: short ones are no such words.
  if (sign.length < SHORTEST) return undefined;
  const word = sign.toLowerCase().replace(/[.,]+$/u, '');
  return (
    WORDS.get(word) ??
    LONG.find(
      (known) => sign.toLowerCase() !== known && editDistance(word.slice(0, 12), known) <= 2,
    )
  );
}

/** Signs of a way through a song, which the form says here: D.C., D.S., Fine, Coda. Two chords D and C are none. */
export const JUMP_WORDS =
  /^(?:(?:d\.\s?[cs]|d[cs]|d\ss)\.?(?:\s+al\s+(?:fine|coda|segno))?|(?:to\s+)?coda|al\s+(?:fine|coda)|fine|(?:dal\s+)?segno|da\s+capo|[𝄋𝄌])(?=[\s"“]|$)/iu;
