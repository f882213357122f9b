// Notes typed by their names in a lead line, "E G A4 F#": where on the neck they are most likely meant.
import type { Fret, Midi, StringNo } from '../../../base/units.ts';
import type { LeadToken } from '../../../lead/notation.ts';
import { stringPitch } from '../../../harmony/tunings.ts';

/** A note's place on the neck; its pitch as fingered. */
interface PartPlace {
  readonly string: StringNo;
  readonly fret: Fret;
  readonly pitch: Midi;
}

const NAME = /^([A-Ha-h])(##|bb|[#b♯♭]|is|es|s)?(\d)?$/u;

/** Small letters that are also short for a note value, half and eighth. */
const VALUE_LETTERS = ['e', 'h'];

/** Is it a note's name? "e" and "h" are where notes with other small letters stand beside them. */
export function isNoteName(text: string, all: readonly LeadToken[]): boolean {
  const names = text.split('+');
  if (!names.every((name) => NAME.test(name))) return false;
  return (
    !VALUE_LETTERS.includes(text) ||
    all.some((other) => /^[a-g][#b♯♭]?\d?$/u.test(other.text) && other.text !== 'e')
  );
}

/** Bars typed by their names alone, or a text that is none. */
export const namesIn = (text: string): readonly string[] =>
  text.split(/[\s|,]+/u).filter((name) => NAME.test(name) && !VALUE_LETTERS.includes(name));

/** String and fret for each name, from the first sign on, each near the note before. By the sign's place in the text. */
export function placedNames(
  tokens: readonly LeadToken[],
  open: readonly Midi[],
): ReadonlyMap<number, string> {
  const placed = new Map<number, string>();
  let hand = tokens.map(({ text }) => placeIn(text, open)).find((place) => place) ?? start(open);
  for (const { text, at } of tokens) {
    if (!isNoteName(text, tokens)) {
      hand = placeIn(text, open) ?? hand;
      continue;
    }
    const together: PartPlace[] = [];
    for (const name of text.split('+')) {
      const found = nearest(name, hand, open, together);
      if (!found) continue;
      hand = found;
      together.push(found);
    }
    placed.set(at, together.map(({ string, fret }) => `${string}/${fret}`).join('+'));
  }
  return placed;
}

/** A tune in open position begins around the second string (common practice, no source). */
const start = (open: readonly Midi[]): PartPlace => ({
  string: 2,
  fret: 1,
  pitch: stringPitch(open, 2, 1),
});

function placeIn(text: string, open: readonly Midi[]): PartPlace | undefined {
  const [, string, fret] = /^([1-6])\/(\d{1,2})/u.exec(text) ?? [];
  if (string === undefined) return undefined;
  const on = Number(string);
  return { string: on, fret: Number(fret), pitch: stringPitch(open, on, Number(fret)) };
}

/** The last fret that a hand is sent to for a name. */
const LAST: Fret = 15;

/** @param taken Notes struck together with it: each has a string of its own. */
function nearest(
  name: string,
  hand: PartPlace,
  open: readonly Midi[],
  taken: readonly PartPlace[],
): PartPlace | undefined {
  const [, letter, sign = '', octave] = NAME.exec(name) ?? [];
  if (letter === undefined) return undefined;
  const pc = NATURALS.get(letter.toUpperCase())! + SIGNS.get(sign.toLowerCase())!;
  const places = open.flatMap((_, i) => {
    const string = i + 1;
    const frets = Array.from({ length: LAST + 1 }, (_, fret) => fret);
    return frets.map((fret) => ({ string, fret, pitch: stringPitch(open, string, fret) }));
  });
  const same = places.filter(
    ({ pitch, string }) =>
      (pitch - pc) % 12 === 0 && taken.every((other) => other.string !== string),
  );
  const exact = same.filter(({ pitch }) => pitch === pc + 12 * (Number(octave) + 1));
  const fitting = exact.length > 0 ? exact : same;
  return fitting.toSorted((a, b) => reach(a, hand) - reach(b, hand))[0];
}

const NATURALS: ReadonlyMap<string, number> = new Map([
  ['C', 0],
  ['D', 2],
  ['E', 4],
  ['F', 5],
  ['G', 7],
  ['A', 9],
  ['B', 11],
  ['H', 11],
]);
const SIGNS: ReadonlyMap<string, number> = new Map([
  ['', 0],
  ['#', 1],
  ['♯', 1],
  ['is', 1],
  ['##', 2],
  ['b', -1],
  ['♭', -1],
  ['es', -1],
  ['s', -1],
  ['bb', -2],
]);

/** How far a place lies from the hand: a tune goes in small steps, within four frets where it can. */
function reach(to: PartPlace, from: PartPlace): number {
  const first = from.fret <= 4 ? 1 : from.fret - 1;
  const outside =
    to.fret === 0 ? (first === 1 ? 0 : 2) : Math.max(0, first - to.fret, to.fret - (first + 3));
  return 0.4 * Math.abs(to.pitch - from.pitch) + outside;
}
