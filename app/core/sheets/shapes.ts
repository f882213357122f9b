// Fretted shapes that a sheet lists beside the names of their chords: "Cadd9: x32030", "G 320033, Em7 022033".
import { parseFrets, printFrets } from '../fretboard/frets.ts';
import { inNames } from '../harmony/note-names.ts';
import type { NoteNames } from '../model/chord.ts';
import { MAX_SHAPES } from '../model/limits.ts';
import type { SheetShape } from './model.ts';
import type { ReadSymbol } from './tokens.ts';

const PAIR = /([A-Ha-h][^\s:=,;|]{0,9}?)\s*[:=]?\s*((?:[xo\d][\s-]?){5}[xo\d])(?=$|[\s,;|)])/giu;

/** What stands before a list: "Chords used:". */
const BEFORE = /^[\s(]*\p{L}[\p{L} ]*:(?=\s*[A-Ha-h]\S{0,9}\s*[:=]?\s*[xo\d])/iu;

/**
 * The shapes of a line that tells nothing else; empty for any other line, one string short or one chord unread.
 * @param symbolOf gives a chord as charts write it
 */
export function shapesIn(text: string, symbolOf: ReadSymbol): readonly SheetShape[] {
  const list = text.replace(BEFORE, '');
  const pairs = [...list.matchAll(PAIR)].map(([, typed, held]): SheetShape | undefined => {
    const symbol = symbolOf(typed!);
    const frets = parseFrets(held!.replaceAll(/[\s-]/gu, '').replaceAll(/o/giu, '0'));
    return symbol !== undefined && frets.ok
      ? { symbol, frets: printFrets(frets.value) }
      : undefined;
  });
  const rest = list.replaceAll(PAIR, '');
  return /^[\s,;|()]*$/u.test(rest) && pairs.every((pair) => pair !== undefined) ? pairs : [];
}

/** Typed lines of the shapes of chords that are played, one for each; the others are told. */
export function shapeLines(
  shapes: readonly SheetShape[],
  played: ReadonlySet<string>,
  names: NoteNames | undefined,
  tell: (left: string) => void,
): readonly string[] {
  const kept = new Map<string, string>();
  for (const { symbol, frets } of shapes) {
    const name = inNames(symbol, names);
    if (!played.has(symbol)) tell(`The shape of ${name} is left out: the song has no ${name}.`);
    else if (kept.size >= MAX_SHAPES && !kept.has(symbol))
      tell(`The shape of ${name} is left out: a chart holds ${MAX_SHAPES}.`);
    else if ((kept.get(symbol) ?? frets) !== frets)
      tell(`A second shape of ${name}, ${frets}, is left out.`);
    else kept.set(symbol, frets);
  }
  return [...kept].map(([symbol, frets]) => `shape ${inNames(symbol, names)} = ${frets}`);
}
