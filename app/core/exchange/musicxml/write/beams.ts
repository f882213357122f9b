// Beams of eighths and sixteenths that share a beat (W3C MusicXML 4.0, beam).
import { type Rational, compare, sub } from '../../../base/rational.ts';
import type { Meter } from '../../../model/chart.ts';
import type { NoteValue } from '../../../model/lead.ts';
import { barLength, beatsOf } from '../../../rhythm/meter.ts';
import { type XmlElement, element } from '../xml-write.ts';

export interface Beamed {
  /** Number of the beat in which it stands. */
  readonly beat: number;
  /** 1 for an eighth, 2 for a sixteenth, 0 for rests and longer notes, which part the groups. */
  readonly flags: number;
}

/** The beam elements of every note of a bar, in order. */
export function beamsOf(notes: readonly Beamed[]): readonly (readonly XmlElement[])[] {
  return notes.map((note, i) => {
    if (note.flags === 0) return [];
    const before = joins(notes[i - 1], note) ? notes[i - 1] : undefined;
    const after = joins(note, notes[i + 1]) ? notes[i + 1] : undefined;
    if (!before && !after) return [];
    return [1, 2].flatMap((level) => beam(level, before, note, after));
  });
}

/** Flags of the note value: an eighth has 1, a sixteenth 2, longer ones none. */
export const flagsOf = ({ of }: NoteValue): number => (of === 8 ? 1 : of === 16 ? 2 : 0);

/** In which beat of its bar a place lies, from 1; a pickup has the last beats of its meter. */
export function beatAt(
  { meter, length }: { readonly meter: Meter; readonly length: Rational },
  at: Rational,
): number {
  const offset = sub(barLength(meter), length);
  return beatsOf(meter).filter((beat) => compare(sub(beat.at, offset), at) <= 0).length;
}

const joins = (a: Beamed | undefined, b: Beamed | undefined): boolean =>
  a !== undefined && b !== undefined && a.beat === b.beat && a.flags > 0 && b.flags > 0;

function beam(
  level: number,
  before: Beamed | undefined,
  note: Beamed,
  after: Beamed | undefined,
): XmlElement[] {
  if (note.flags < level) return [];
  const fromLeft = before !== undefined && before.flags >= level;
  const toRight = after !== undefined && after.flags >= level;
  const hook = before ? 'backward hook' : 'forward hook';
  const value = fromLeft ? (toRight ? 'continue' : 'end') : toRight ? 'begin' : hook;
  return [element('beam', value, { number: level })];
}
