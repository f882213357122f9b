// Chord diagrams of MusicXML 4.0 to and from shapes (W3C MusicXML 4.0, frame).
import type { Frets } from '../../model/chart.ts';
import { MAX_FRET } from '../../model/limits.ts';
import { type Placement, fretsFromPlacements } from '../../fretboard/check.ts';
import { easiestFingering } from '../../fretboard/fingering.ts';
import { USUAL_NECK } from '../../fretboard/geometry.ts';
import { FINGERS } from '../../fretboard/hand.ts';
import { type Press, fingersOf, isBarre } from '../../fretboard/shape.ts';
import { type Result, fail } from '../../base/result.ts';
import type { Fret, StringNo } from '../../base/units.ts';
import { type XmlElement, element } from './xml-write.ts';
import { type XmlNode, childAt, childrenOf, numberAt, textAt } from './xml-read.ts';

/** Frets that a diagram shows at least (common practice, no source). */
const LEAST_FRETS = 4;

/**
 * Muted strings have no frame-note; an open one has fret 0; frets are counted from the nut or capo.
 * Fingers are those of the easiest way to hold the shape; without one that a hand can hold, none are written.
 */
export function frameElement(frets: Frets, capo: Fret): XmlElement {
  const pressed = frets.filter((fret): fret is number => fret !== null && fret > 0);
  const highest = Math.max(0, ...pressed);
  const first = highest <= LEAST_FRETS ? 1 : Math.min(...pressed);
  const presses = easiestFingering(frets, { ...USUAL_NECK, capo })?.presses ?? [];
  const fingers = fingersOf({ frets, presses });
  return element('frame', [
    element('frame-strings', frets.length),
    element('frame-frets', Math.max(LEAST_FRETS, highest - first + 1)),
    ...(first === 1 ? [] : [element('first-fret', first)]),
    ...frets.flatMap((fret, i) =>
      fret === null
        ? []
        : [
            element('frame-note', [
              element('string', frets.length - i),
              element('fret', fret),
              ...(fingers[i] ? [element('fingering', fingers[i])] : []),
              ...barreElements(presses, frets, frets.length - i),
            ]),
          ],
    ),
  ]);
}

/** A barre starts on its lowest-sounding string and stops on its highest; one over a muted string cannot be told. */
function barreElements(presses: readonly Press[], frets: Frets, string: StringNo): XmlElement[] {
  const sounding = (press: Press): boolean =>
    frets.slice(frets.length - press.from, frets.length - press.to + 1).every((f) => f !== null);
  const barres = presses.filter((press) => isBarre(press) && sounding(press));
  if (barres.some(({ from }) => from === string)) return [element('barre', [], { type: 'start' })];
  if (barres.some(({ to }) => to === string)) return [element('barre', [], { type: 'stop' })];
  return [];
}

/**
 * The shape of a harmony's diagram; undefined without one. Fails for necks of other than six strings, as `fretsFromPlacements` does (two notes on a string, a finger in two places), and with
 * `frame-note` where a string or fret is missing or beyond the neck.
 */
export function shapeOf(harmony: XmlNode): Result<Frets> | undefined {
  const frame = childAt(harmony, 'frame');
  if (!frame) return undefined;
  if (numberAt(frame, 'frame-strings') !== 6) return fail(otherNeck);
  const notes = childrenOf(frame, 'frame-note');
  const placements = notes.flatMap((note) => placementOf(note) ?? []);
  if (placements.length < notes.length) return fail(unreadableNote);
  const all = [...placements, ...underBarres(notes, placements)];
  return all.length > 0 ? fretsFromPlacements(all) : undefined;
}

/** Strings between the ends of a barre that have no note of their own: the finger lies on them too. */
function underBarres(notes: readonly XmlNode[], placements: readonly Placement[]): Placement[] {
  const endsOf = (type: string): readonly Placement[] =>
    placements.filter((_, i) => childAt(notes[i], 'barre')?.attributes.type === type);
  const free = [1, 2, 3, 4, 5, 6].filter((s) => !placements.some(({ string }) => string === s));
  return endsOf('start').flatMap(({ string: from, fret, finger }) => {
    const end = endsOf('stop').find((stop) => stop.fret === fret && stop.string < from);
    return free
      .filter((string) => end && string < from && string > end.string)
      .map((string) => ({ string, fret, ...(finger && { finger }) }));
  });
}

const otherNeck = {
  code: 'frame-strings',
  message: 'It is for a neck of other than six strings.',
  cure: 'Pin a shape in the chart instead.',
};

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
