// Chord diagrams of MusicXML 4.0 to and from shapes (W3C MusicXML 4.0, frame).
import type { Frets } from '../../chart/model.ts';
import { MAX_FRET } from '../../chart/limits.ts';
import { type XmlElement, element } from './xml-write.ts';
import { type XmlNode, childAt, childrenOf, numberAt } from './xml-read.ts';

/** Frets that a diagram shows at least (common practice, no source). */
const LEAST_FRETS = 4;

/** Muted strings have no frame-note; an open one has fret 0; frets are counted from the nut. */
export function frameElement(frets: Frets): XmlElement {
  const pressed = frets.filter((fret): fret is number => fret !== null && fret > 0);
  const highest = Math.max(0, ...pressed);
  const first = highest <= LEAST_FRETS ? 1 : Math.min(...pressed);
  return element('frame', [
    element('frame-strings', frets.length),
    element('frame-frets', Math.max(LEAST_FRETS, highest - first + 1)),
    ...(first === 1 ? [] : [element('first-fret', first)]),
    ...frets.flatMap((fret, i) =>
      fret === null
        ? []
        : [element('frame-note', [element('string', frets.length - i), element('fret', fret)])],
    ),
  ]);
}

/** The shape of a harmony's diagram; undefined without one, and for necks of other than six strings. */
export function shapeOf(harmony: XmlNode): Frets | undefined {
  const frame = childAt(harmony, 'frame');
  if (!frame || numberAt(frame, 'frame-strings') !== 6) return undefined;
  const frets: (number | null)[] = [null, null, null, null, null, null];
  for (const note of childrenOf(frame, 'frame-note')) {
    const string = numberAt(note, 'string');
    const fret = numberAt(note, 'fret');
    const fits = string !== undefined && string >= 1 && string <= 6 && Number.isInteger(string);
    if (!fits || fret === undefined || !Number.isInteger(fret) || fret < 0 || fret > MAX_FRET)
      return undefined;
    frets[6 - string] = fret;
  }
  return frets.some((fret) => fret !== null) ? frets : undefined;
}
