// Chord diagrams of MusicXML 4.0 to and from shapes (W3C MusicXML 4.0, frame).
import type { Frets } from '../../chart/model.ts';
import { MAX_FRET } from '../../chart/limits.ts';
import { type Placement, fretsFromPlacements } from '../../fretboard/check.ts';
import { FINGERS } from '../../fretboard/hand.ts';
import { type Result, fail } from '../../result.ts';
import { type XmlElement, element } from './xml-write.ts';
import { type XmlNode, childAt, childrenOf, numberAt, textAt } from './xml-read.ts';

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

/**
 * The shape of a harmony's diagram; undefined without one, and for necks of other than six strings.
 * Fails as `fretsFromPlacements` does (two notes on a string, a finger in two places), and with
 * `frame-note` where a string or fret is missing or beyond the neck.
 */
export function shapeOf(harmony: XmlNode): Result<Frets> | undefined {
  const frame = childAt(harmony, 'frame');
  if (!frame || numberAt(frame, 'frame-strings') !== 6) return undefined;
  const notes = childrenOf(frame, 'frame-note');
  const placements = notes.flatMap((note) => placementOf(note) ?? []);
  if (placements.length < notes.length) return fail(unreadableNote);
  return placements.length > 0 ? fretsFromPlacements(placements) : undefined;
}

const unreadableNote = {
  code: 'frame-note',
  message: 'A chord diagram has a note beyond the neck, or without string or fret.',
  cure: 'Pin a shape in the chart instead.',
};

function placementOf(note: XmlNode): Placement | undefined {
  const string = numberAt(note, 'string');
  const fret = numberAt(note, 'fret');
  if (!isWithin(string, 1, 6) || !isWithin(fret, 0, MAX_FRET)) return undefined;
  const finger = FINGERS.find((f) => String(f) === textAt(note, 'fingering'));
  return { string, fret, ...(finger && fret > 0 && { finger }) };
}

const isWithin = (value: number | undefined, least: number, most: number): value is number =>
  value !== undefined && Number.isInteger(value) && value >= least && value <= most;
