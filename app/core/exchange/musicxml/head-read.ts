// Reads key, capo and tuning from the elements that carry them.
import { Note } from 'tonal';
import { STANDARD, TUNINGS, tuningWithOctaves } from '../../harmony/tunings.ts';
import { noteAtFifths } from '../../harmony/notes.ts';
import { MAX_CAPO } from '../../model/limits.ts';
import type { Tuning } from '../../model/chart.ts';
import { checkTuning } from '../../chart/rules/head.ts';
import { type XmlNode, childrenOf, numberAt, textAt } from './xml-read.ts';

/** "D", "F# minor"; modes that a chart does not name are left out. */
export function keyNameOf(key: XmlNode | undefined): string | undefined {
  const fifths = numberAt(key, 'fifths');
  const mode = textAt(key, 'mode') ?? 'major';
  if (fifths === undefined || !Number.isInteger(fifths) || Math.abs(fifths) > 7) return undefined;
  if (mode === 'major') return noteAtFifths(fifths);
  return mode === 'minor' ? `${noteAtFifths(fifths + 3)} minor` : undefined;
}

/** The fret of the capo; undefined where none is said that a chart can have (W3C MusicXML 4.0, staff-details). */
export function capoOf(details: XmlNode): number | undefined {
  const capo = numberAt(details, 'capo');
  return capo !== undefined && Number.isInteger(capo) && capo >= 0 && capo <= MAX_CAPO
    ? capo
    : undefined;
}

/** Six tuned lines, from the lowest; a tuning without a name of its own is called by its notes. */
export function tuningOf(details: XmlNode): Tuning | undefined {
  const lines = childrenOf(details, 'staff-tuning').toSorted(
    (a, b) => Number(a.attributes.line) - Number(b.attributes.line),
  );
  if (lines.length !== STANDARD.strings.length) return undefined;
  const strings = lines.map(pitchOf);
  if (strings.some((midi) => midi === null)) return undefined;
  const known = TUNINGS.find((tuning) => tuning.strings.join() === strings.join());
  const own = { name: '', strings: strings as number[] };
  const tuning = known ?? { ...own, name: tuningWithOctaves(own) };
  return checkTuning(tuning).ok ? tuning : undefined;
}

function pitchOf(line: XmlNode): number | null {
  const alter = numberAt(line, 'tuning-alter') ?? 0;
  const natural = Note.midi(
    `${textAt(line, 'tuning-step') ?? ''}${textAt(line, 'tuning-octave') ?? ''}`,
  );
  return natural === null || !Number.isInteger(alter) ? null : natural + alter;
}
