// Writes what holds from a bar on in every part: key, meter, the tuning of strings (W3C MusicXML 4.0, attributes).
import { Note } from 'tonal';
import { readKey } from '../../../harmony/key.ts';
import { printMeter } from '../../../rhythm/meter.ts';
import type { Meter, Tuning } from '../../../model/chart.ts';
import { type XmlElement, element } from '../xml-write.ts';

/** The `key` element; none where the chart has no key that can be read (W3C MusicXML 4.0, key). */
export function keyElements(key: string | undefined): XmlElement[] {
  const read = key === undefined ? undefined : readKey(key);
  if (!read?.ok) return [];
  return [element('key', [element('fifths', read.value.sharps), element('mode', read.value.mode)])];
}

/** The grouping is written as a sum where it is not the usual one: 3+2+2 over 8. */
export function timeElement(meter: Meter): XmlElement {
  const unusual = printMeter(meter).includes('(');
  const beats = unusual ? meter.grouping.join('+') : meter.numerator;
  return element('time', [element('beats', beats), element('beat-type', meter.unit)]);
}

/** One element for each string, from the lowest. */
export const tuningElements = ({ strings }: Tuning): readonly XmlElement[] =>
  strings.map((midi, i) => tuningElement(midi, i + 1));

function tuningElement(midi: number, line: number): XmlElement {
  const note = Note.get(Note.fromMidiSharps(midi));
  return element(
    'staff-tuning',
    [
      element('tuning-step', note.letter),
      ...(note.alt === 0 ? [] : [element('tuning-alter', note.alt)]),
      element('tuning-octave', note.oct ?? 0),
    ],
    { line },
  );
}
