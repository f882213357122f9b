// Beams of eighths and sixteenths that share a beat (W3C MusicXML 4.0, beam).
import type { BarNote } from './bar-notes.ts';
import { type XmlElement, element } from '../xml-write.ts';

/** The beam elements of every note of a bar, in order; rests and longer notes part the groups. */
export function beamsOf(notes: readonly BarNote[]): readonly (readonly XmlElement[])[] {
  return notes.map((note, i) => {
    if (flags(note) === 0) return [];
    const before = joins(notes[i - 1], note) ? notes[i - 1] : undefined;
    const after = joins(note, notes[i + 1]) ? notes[i + 1] : undefined;
    if (!before && !after) return [];
    return [1, 2].flatMap((level) => beam(level, before, note, after));
  });
}

const flags = ({ kind, value }: BarNote): number =>
  kind === 'stroke' || kind === 'hold' ? ({ 8: 1, 16: 2 }[value?.of as 8 | 16] ?? 0) : 0;

const joins = (a: BarNote | undefined, b: BarNote | undefined): boolean =>
  a !== undefined && b !== undefined && a.beat === b.beat && flags(a) > 0 && flags(b) > 0;

function beam(
  level: number,
  before: BarNote | undefined,
  note: BarNote,
  after: BarNote | undefined,
): XmlElement[] {
  if (flags(note) < level) return [];
  const fromLeft = before !== undefined && flags(before) >= level;
  const toRight = after !== undefined && flags(after) >= level;
  const hook = before ? 'backward hook' : 'forward hook';
  const value = fromLeft ? (toRight ? 'continue' : 'end') : toRight ? 'begin' : hook;
  return [element('beam', value, { number: level })];
}
