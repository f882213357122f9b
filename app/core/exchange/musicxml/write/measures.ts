// Writes the bars of a sheet as measures in slash notation (W3C MusicXML 4.0, score-partwise).
import { type Rational, mul, rational, sub, toNumber, ZERO } from '../../../base/rational.ts';
import { STANDARD } from '../../../harmony/tunings.ts';
import { beatUnitLength, printMeter } from '../../../rhythm/meter.ts';
import { printFeel } from '../../../chart/notation/fields.ts';
import type { ChordAt, Feel, Frets, Tempo } from '../../../model/chart.ts';
import { chordsInSlot } from '../../../rhythm/slots.ts';
import { printStrum } from '../../../rhythm/strum.ts';
import type { Fret } from '../../../base/units.ts';
import { keyElements, timeElement, tuningElements } from './attributes.ts';
import { leftBarline, rightBarline } from '../barlines.ts';
import { type BarNote, notesOfBars } from './bar-notes.ts';
import { chordElements } from '../chord-kinds.ts';
import { frameElement } from '../frames.ts';
import type { Sheet, SheetBar } from '../sheet.ts';
import { paceWords } from '../../../chart/pace-words.ts';
import { fermataWords, PACE_SOUND } from '../pace-words.ts';
import { strikes } from '../strum-halves.ts';
import { PLAIN_STRUM, ownStrum } from '../strum-paper.ts';
import { type PlainNotes, noteElements } from './slash-note.ts';
import { type XmlElement, element } from '../xml-write.ts';

/** Divisions of a quarter note in which ordinary positions are whole: sixteenths and triplets of them. */
const USUAL_DIVISIONS = 24;

/** The part with chords, slashes, strums, tempo and headings. */
export function chordMeasures(sheet: Sheet): readonly XmlElement[] {
  const shapes = new Map(sheet.shapes.map(({ symbol, frets }) => [symbol, frets]));
  const notes = notesOfBars(sheet.bars);
  const known: Known = { notes: new WeakMap(), chords: new Map() };
  return measuresOf(sheet, (index) => measureContent(sheet, index, notes, shapes, known));
}

/** What comes again in a song and is made once: notes of bars that are alike, chords with their diagrams. */
interface Known {
  readonly notes: PlainNotes;
  readonly chords: Map<string, XmlElement>;
}

/** Numbered measures of any part; pickups have numbers of their own and do not count. */
export function measuresOf(
  sheet: Sheet,
  contentOf: (index: number) => readonly XmlElement[],
): readonly XmlElement[] {
  let pickups = 0;
  return sheet.bars.map((bar, i) => {
    if (bar.pickup) pickups++;
    const number = bar.pickup ? `X${pickups}` : String(i + 1 - pickups);
    return element('measure', contentOf(i), { number, implicit: bar.pickup ? 'yes' : undefined });
  });
}

function measureContent(
  sheet: Sheet,
  index: number,
  notes: readonly (readonly BarNote[])[],
  shapes: ReadonlyMap<string, Frets>,
  known: Known,
): XmlElement[] {
  const bar = sheet.bars[index]!;
  const before = index > 0 ? sheet.bars[index - 1] : undefined;
  const divisions = divisionsFor(bar, notes[index]!);
  const newDivisions = !before || divisionsFor(before, notes[index - 1]!) !== divisions;
  return [
    ...leftBarline(bar),
    ...attributes(sheet, bar, before, newDivisions ? divisions : undefined),
    ...directions(bar, before),
    ...pacesOf(bar, before, divisions),
    ...music(bar, notes[index]!, divisions, known.notes, (chord, after) => {
      const key = `${chord.symbol} ${after} ${chord.shape?.join() ?? ''}`;
      const made =
        known.chords.get(key) ??
        harmony(chord, after, diagram(chord, sheet.capo, shapes), sheet.names);
      known.chords.set(key, made);
      return made;
    }),
    ...rightBarline(sheet.bars, index),
  ];
}

function divisionsFor(bar: SheetBar, notes: readonly BarNote[]): number {
  const positions = [
    ...notes.flatMap(({ at, length }) => [at, length]),
    ...bar.chords.map((c) => c.at),
    ...(bar.paces ?? []).map(({ at }) => at),
  ];
  let divisions = USUAL_DIVISIONS;
  for (const { d } of positions)
    if (divisions % d !== 0) divisions *= d / commonDivisor(divisions, d);
  return divisions;
}

function commonDivisor(a: number, b: number): number {
  let [x, y] = [a, b];
  while (y !== 0) [x, y] = [y, x % y];
  return x;
}

const inDivisions = (length: Rational, divisions: number): number =>
  toNumber(mul(length, rational(divisions)));

function attributes(
  sheet: Sheet,
  bar: SheetBar,
  before: SheetBar | undefined,
  divisions: number | undefined,
): XmlElement[] {
  const newMeter = !before || printMeter(before.meter) !== printMeter(bar.meter);
  const styles = [...slashStyle(bar, before), ...simileStyle(bar, before)];
  if (divisions === undefined && !newMeter && styles.length === 0) return [];
  return [
    element('attributes', [
      ...(divisions === undefined ? [] : [element('divisions', divisions)]),
      ...(before ? [] : keyElements(sheet.key)),
      ...(newMeter ? [timeElement(bar.meter)] : []),
      ...(before ? [] : [CLEF, ...staffDetails(sheet)]),
      ...styles,
    ]),
  ];
}

/** Guitar music is written an octave above its sound. */
const CLEF = element('clef', [
  element('sign', 'G'),
  element('line', 2),
  element('clef-octave-change', -1),
]);

/** Slashes without stems for beats; a strum has heads and stems of its own, which the style would cover. */
function slashStyle(bar: SheetBar, before: SheetBar | undefined): XmlElement[] {
  const beats = bar.strum === undefined;
  if (beats === (before !== undefined && before.strum === undefined)) return [];
  const type = beats ? 'start' : 'stop';
  return [element('measure-style', [element('slash', [], { type, 'use-stems': 'no' })])];
}

/** Display only: the notes and chords of the bar are written all the same. */
function simileStyle({ simile }: SheetBar, before: SheetBar | undefined): XmlElement[] {
  if (simile === (before?.simile ?? false)) return [];
  const repeat = element('measure-repeat', simile ? 1 : [], { type: simile ? 'start' : 'stop' });
  return [element('measure-style', [repeat])];
}

function staffDetails({ capo, tuning }: Sheet): XmlElement[] {
  const standard = tuning.strings.join() === STANDARD.strings.join();
  if (capo === 0 && standard) return [];
  return [
    element('staff-details', [
      ...(standard ? [] : [element('staff-lines', 5), ...tuningElements(tuning)]),
      ...(capo === 0 ? [] : [element('capo', capo)]),
    ]),
  ];
}

function directions(bar: SheetBar, before: SheetBar | undefined): XmlElement[] {
  const tempo = !before || !sameTempo(bar.tempo, before.tempo);
  const feel = before
    ? bar.feel !== before.feel && printFeelKey(bar.feel) !== printFeelKey(before.feel)
    : bar.feel.kind !== 'straight';
  const sameStrum = before?.strum === bar.strum && before?.wholeStrum === bar.wholeStrum;
  const goesOn = sameStrum && before?.meter === bar.meter && !bar.wholeIsOwn && !before.wholeIsOwn;
  const strum = goesOn ? undefined : strumWords(bar);
  return [
    ...(bar.heading === undefined ? [] : [direction(element('rehearsal', bar.heading))]),
    ...(tempo ? [tempoElement(bar.tempo)] : []),
    ...(feel ? [feelElement(bar.feel)] : []),
    ...(strum === undefined ||
    (strum === (before ? strumWords(before) : PLAIN_STRUM) && !beginsOwn(bar))
      ? []
      : [hidden(strum)]),
    ...(bar.sectionRemarks ?? []).map((text) => said(text, { directive: 'yes' })),
    ...(bar.remark === undefined ? [] : [said(bar.remark)]),
    ...(bar.pace ? [said(paceWords(bar.pace))] : []),
    ...(bar.fermata ? [hidden(fermataWords(bar.fermata))] : []),
  ];
}

/**
 * The tempos of a gradual change and of a held beat, each where it begins, so that other programs play them (W3C
 * MusicXML 4.0, sound, tempo in quarters a minute); and the bar's own again after them.
 */
function pacesOf(bar: SheetBar, before: SheetBar | undefined, divisions: number): XmlElement[] {
  const own = before?.paces && sameTempo(bar.tempo, before.tempo) ? [{ at: ZERO, rate: 1 }] : [];
  const quarters = bar.tempo.bpm * toNumber(beatUnitLength(bar.tempo.beat));
  return (bar.paces ?? own).map(({ at, rate }) => {
    const after = inDivisions(at, divisions);
    return element('direction', [
      element('direction-type', [element('other-direction', PACE_SOUND, { 'print-object': 'no' })]),
      ...(after > 0 ? [element('offset', after)] : []),
      element('sound', [], { tempo: Number((quarters * rate).toFixed(4)) }),
    ]);
  });
}

/** Read by this program, printed by none. */
const hidden = (text: string): XmlElement =>
  direction(element('other-direction', text, { 'print-object': 'no' }));

const said = (
  text: string,
  { placement = 'above', directive }: { placement?: 'above' | 'below'; directive?: 'yes' } = {},
): XmlElement =>
  element('direction', [element('direction-type', [element('words', text)])], {
    directive,
    placement,
  });

/**
 * The marks over the notes show it; the words keep how it was typed, and are not printed. The half of a pattern that has no
 * stroke is none by itself: the bar rings on.
 */
function strumWords({ strum, wholeStrum = strum, wholeIsOwn, meter }: SheetBar): string {
  const words = wholeStrum && strikes(wholeStrum) ? printStrum(wholeStrum, meter) : PLAIN_STRUM;
  return wholeIsOwn ? ownStrum(words) : words;
}

/** A pattern over two bars that begins with this one. */
const beginsOwn = ({ wholeIsOwn, simile }: SheetBar): boolean => wholeIsOwn === true && !simile;

const sameTempo = (a: Tempo, b: Tempo): boolean => a.bpm === b.bpm && a.beat === b.beat;

const printFeelKey = (feel: Feel): string => JSON.stringify(feel);

const direction = (type: XmlElement, sound?: XmlElement): XmlElement =>
  element('direction', [element('direction-type', [type]), sound], { placement: 'above' });

/** Players count quarters a minute; the metronome mark keeps the counted note. */
function tempoElement(tempo: Tempo): XmlElement {
  const dotted = tempo.beat.startsWith('dotted-');
  const quarters = tempo.bpm * toNumber(beatUnitLength(tempo.beat));
  const mark = element('metronome', [
    element('beat-unit', tempo.beat.replace('dotted-', '')),
    ...(dotted ? [element('beat-unit-dot')] : []),
    element('per-minute', tempo.bpm),
  ]);
  return direction(mark, element('sound', [], { tempo: Number(quarters.toFixed(4)) }));
}

function feelElement(feel: Feel): XmlElement {
  const swing =
    feel.kind === 'straight'
      ? [element('straight')]
      : [
          element('first', feel.long),
          element('second', feel.short),
          element('swing-type', feel.value === 8 ? 'eighth' : '16th'),
        ];
  const words = element('words', printFeel(feel));
  return direction(words, element('sound', [element('swing', swing)]));
}

/** The notes, and each chord before the note in which it falls. */
function music(
  bar: SheetBar,
  notes: readonly BarNote[],
  divisions: number,
  known: PlainNotes,
  harmonyOf: (chord: ChordAt, after: number) => XmlElement,
): XmlElement[] {
  const elements = noteElements(notes, divisions, bar, known);
  return notes.flatMap(({ at, length }, i) => [
    ...chordsInSlot(bar.chords, { at, length }).flatMap((chord) => {
      const after = inDivisions(sub(chord.at, at), divisions);
      return [
        ...(chord.remark === undefined ? [] : [said(chord.remark, { placement: 'below' })]),
        harmonyOf(chord, after),
      ];
    }),
    elements[i]!,
  ]);
}

interface Diagram {
  readonly frame: XmlElement;
  /** A shape of the whole chart is told, a pinned one is shown. */
  readonly shown: boolean;
}

function diagram(
  { symbol, shape }: ChordAt,
  capo: Fret,
  shapes: ReadonlyMap<string, Frets>,
): Diagram | undefined {
  const frets = shape ?? shapes.get(symbol);
  return frets && { frame: frameElement(frets, capo), shown: shape !== undefined };
}

const harmony = (
  { symbol }: ChordAt,
  after: number,
  shape: Diagram | undefined,
  names: Sheet['names'],
): XmlElement =>
  element(
    'harmony',
    [
      ...chordElements(symbol, names),
      shape?.frame,
      ...(after > 0 ? [element('offset', after)] : []),
    ],
    { 'print-frame': shape && !shape.shown ? 'no' : undefined },
  );
