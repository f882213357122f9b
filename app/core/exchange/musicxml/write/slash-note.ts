// Writes the notes of slash notation: slashes, crossed heads for muted strokes, bowing marks for their direction.
import { equals, mul, ONE, rational, sum, toNumber } from '../../../base/rational.ts';
import { beamsOf, flagsOf } from './beams.ts';
import type { BarNote } from './bar-notes.ts';
import { soundingAt } from '../pace-words.ts';
import type { SheetBar } from '../sheet.ts';
import { valueElements } from '../note-values.ts';
import { type XmlElement, element } from '../xml-write.ts';

/** Elements of bars without signs of their own, by their notes and divisions: bars that are alike share them. */
export type PlainNotes = WeakMap<readonly BarNote[], Map<number, readonly XmlElement[]>>;

/** One element for each note of a bar. */
export function noteElements(
  notes: readonly BarNote[],
  divisions: number,
  bar: Pick<SheetBar, 'chords' | 'fermata'>,
  known: PlainNotes,
): readonly XmlElement[] {
  if (bar.fermata || bar.chords.some(({ slide }) => slide))
    return elementsOf(notes, divisions, bar);
  const plain = known.get(notes) ?? new Map<number, readonly XmlElement[]>();
  const elements = plain.get(divisions) ?? elementsOf(notes, divisions, bar);
  known.set(notes, plain.set(divisions, elements));
  return elements;
}

function elementsOf(
  notes: readonly BarNote[],
  divisions: number,
  { chords, fermata }: Pick<SheetBar, 'chords' | 'fermata'>,
): readonly XmlElement[] {
  const beams = beamsOf(
    notes.map(({ beat, kind, value }) => {
      const beamed = kind === 'stroke' || kind === 'hold';
      return { beat, flags: beamed && value ? flagsOf(value) : 0 };
    }),
  );
  const held = fermata && soundingAt(notes, fermata.at);
  const slidInto = new Set(
    chords.flatMap(({ at, slide }) => (slide ? [soundingAt(notes, at)] : [])),
  );
  return notes.map((note, i) => {
    const sounds = note.kind !== 'rest';
    return element('note', [
      sounds ? PITCH : element('rest'),
      element('duration', toNumber(mul(note.length, rational(divisions)))),
      ...tied(note, 'tie'),
      element('voice', 1),
      ...(note.value ? valueElements(note.value) : []),
      ...(note.kind === 'beat' ? [element('stem', 'none')] : []),
      ...(sounds ? [element('notehead', note.stroke?.muted ? 'x' : 'slash')] : []),
      ...beams[i]!,
      ...notations(note, {
        tuplet: tupletEnd(notes, i),
        fermata: note === held,
        slide: slidInto.has(note),
      }),
      // Muffled with the palm (W3C MusicXML 4.0, play and mute).
      ...(note.stroke?.touch === 'damped' ? [element('play', [element('mute', 'palm')])] : []),
    ]);
  });
}

/** The middle line, which slashes stand on. */
const PITCH = element('pitch', [element('step', 'B'), element('octave', 3)]);

const tied = ({ kind, ties }: BarNote, name: 'tie' | 'tied'): XmlElement[] => [
  ...(kind === 'hold' ? [element(name, [], { type: 'stop' })] : []),
  ...(ties ? [element(name, [], { type: 'start' })] : []),
];

interface Signs {
  readonly tuplet: 'start' | 'stop' | undefined;
  readonly fermata: boolean;
  readonly slide: boolean;
}

/**
 * Down- and up-stroke use the bowing marks, a short stroke the dot, and a slide into a chord the sign that
 * comes from below (W3C MusicXML 4.0, down-bow, up-bow, staccato, scoop).
 */
function notations(note: BarNote, { tuplet, fermata, slide }: Signs): XmlElement[] {
  const stroke = note.kind === 'stroke' ? note.stroke : undefined;
  const articulations = [
    ...(stroke?.accent ? [element('accent')] : []),
    ...(stroke?.touch === 'short' ? [element('staccato')] : []),
    ...(slide ? [element('scoop')] : []),
  ];
  const all = [
    ...tied(note, 'tied'),
    ...(tuplet ? [element('tuplet', [], { type: tuplet, bracket: 'yes' })] : []),
    ...(stroke
      ? [element('technical', [element(stroke.direction === 'down' ? 'down-bow' : 'up-bow')])]
      : []),
    ...(articulations.length > 0 ? [element('articulations', articulations)] : []),
    ...(fermata ? [element('fermata')] : []),
  ];
  return all.length > 0 ? [element('notations', all)] : [];
}

/** Triplets that fill a quarter stand under one bracket. */
function tupletEnd(notes: readonly BarNote[], index: number): 'start' | 'stop' | undefined {
  const note = notes[index]!;
  const group = notes.filter(({ value, beat }) => value?.shape === 'triplet' && beat === note.beat);
  if (!equals(sum(group.map(({ length }) => length)), ONE)) return undefined;
  return group[0] === note ? 'start' : group.at(-1) === note ? 'stop' : undefined;
}
