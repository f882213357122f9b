// Writes the bars of a sheet as measures in slash notation (W3C MusicXML 4.0, score-partwise).
import {
  type Rational,
  add,
  compare,
  equals,
  mul,
  rational,
  sub,
  toNumber,
  ZERO,
} from '../../rational.ts';
import { STANDARD } from '../../fretboard/tunings.ts';
import { beatUnitLength, printMeter } from '../../chart/meter.ts';
import { printFeel } from '../../chart/notation/fields.ts';
import type { ChordAt, Feel, Frets, Tempo } from '../../chart/model.ts';
import { SILENCE } from '../../chart/rules/head.ts';
import { slotsOf, type Slot } from '../../chart/slots.ts';
import { printStrum } from '../../chart/strum.ts';
import { keyElements, timeElement, tuningElements } from './attributes-write.ts';
import { leftBarline, rightBarline } from './barlines.ts';
import { chordElements } from './chord-kinds.ts';
import { frameElement } from './frames.ts';
import type { Sheet, SheetBar } from './sheet.ts';
import { type XmlElement, element } from './xml-write.ts';

/** Divisions of a quarter note in which ordinary positions are whole: sixteenths and triplets of them. */
const USUAL_DIVISIONS = 24;
/** Words for a section without a strum pattern after one with a pattern. */
export const PLAIN_STRUM = 'one stroke on each beat';

/** The part with chords, slashes, tempo and headings. */
export function chordMeasures(sheet: Sheet): readonly XmlElement[] {
  const shapes = new Map(sheet.shapes.map(({ symbol, frets }) => [symbol, frets]));
  return measuresOf(sheet, (index) => measureContent(sheet, index, shapes));
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
  shapes: ReadonlyMap<string, Frets>,
): XmlElement[] {
  const bar = sheet.bars[index]!;
  const before = sheet.bars[index - 1];
  const divisions = divisionsFor(bar);
  return [
    ...leftBarline(bar),
    ...attributes(sheet, bar, before, divisions),
    ...directions(bar, before),
    ...notes(bar, divisions, shapes, soundsBefore(sheet.bars, index)),
    ...rightBarline(sheet.bars, index),
  ];
}

/** The chord that is heard when a bar starts, in the order of the sheet. */
function soundsBefore(bars: readonly SheetBar[], index: number): string | undefined {
  for (let i = index - 1; i >= 0; i--) {
    const last = bars[i]!.chords.at(-1);
    if (last) return last.symbol;
  }
  return undefined;
}

function divisionsFor(bar: SheetBar): number {
  const positions = [
    ...slotsIn(bar).flatMap(({ at, length }) => [at, length]),
    ...bar.chords.map((c) => c.at),
  ];
  return positions.reduce(
    (divisions, { d }) => divisions * (d / commonDivisor(divisions, d)),
    USUAL_DIVISIONS,
  );
}

function commonDivisor(a: number, b: number): number {
  let [x, y] = [a, b];
  while (y !== 0) [x, y] = [y, x % y];
  return x;
}

const slotsIn = (bar: SheetBar): readonly Slot[] =>
  slotsOf(bar.meter, bar.pickup ? bar.length : undefined);

const inDivisions = (length: Rational, divisions: number): number =>
  toNumber(mul(length, rational(divisions)));

function attributes(
  sheet: Sheet,
  bar: SheetBar,
  before: SheetBar | undefined,
  divisions: number,
): XmlElement[] {
  const newDivisions = !before || divisionsFor(before) !== divisions;
  const newMeter = !before || printMeter(before.meter) !== printMeter(bar.meter);
  const simile = bar.simile !== (before?.simile ?? false);
  if (!newDivisions && !newMeter && !simile) return [];
  return [
    element('attributes', [
      ...(newDivisions ? [element('divisions', divisions)] : []),
      ...(before ? [] : keyElements(sheet.key)),
      ...(newMeter ? [timeElement(bar.meter)] : []),
      ...(before ? [] : [CLEF, ...staffDetails(sheet), SLASHES]),
      ...(simile ? [simileElement(bar.simile)] : []),
    ]),
  ];
}

/** Guitar music is written an octave above its sound. */
const CLEF = element('clef', [
  element('sign', 'G'),
  element('line', 2),
  element('clef-octave-change', -1),
]);

const SLASHES = element('measure-style', [
  element('slash', [], { type: 'start', 'use-stems': 'no' }),
]);

/** Display only: the notes and chords of the bar are written all the same. */
const simileElement = (start: boolean): XmlElement =>
  element('measure-style', [
    element('measure-repeat', start ? 1 : [], { type: start ? 'start' : 'stop' }),
  ]);

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
    ? printFeelKey(bar.feel) !== printFeelKey(before.feel)
    : bar.feel.kind !== 'straight';
  const strum = strumWords(bar);
  return [
    ...(bar.heading === undefined ? [] : [direction(element('rehearsal', bar.heading))]),
    ...(tempo ? [tempoElement(bar.tempo)] : []),
    ...(feel ? [feelElement(bar.feel)] : []),
    ...(strum === (before ? strumWords(before) : PLAIN_STRUM)
      ? []
      : [direction(element('words', strum), undefined, 'below')]),
  ];
}

const strumWords = ({ strum, meter }: SheetBar): string =>
  strum ? printStrum(strum, meter) : PLAIN_STRUM;

const sameTempo = (a: Tempo, b: Tempo): boolean => a.bpm === b.bpm && a.beat === b.beat;

const printFeelKey = (feel: Feel): string => JSON.stringify(feel);

const direction = (
  type: XmlElement,
  sound?: XmlElement,
  placement: 'above' | 'below' = 'above',
): XmlElement => element('direction', [element('direction-type', [type]), sound], { placement });

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

/** A slash for each beat, a rest where nothing sounds, and the chords before the beats they fall in. */
function notes(
  bar: SheetBar,
  divisions: number,
  shapes: ReadonlyMap<string, Frets>,
  before: string | undefined,
): XmlElement[] {
  let sounding = before;
  return slotsIn(bar).flatMap((slot) => {
    const chords = bar.chords.filter(
      ({ at }) => compare(at, slot.at) >= 0 && compare(at, add(slot.at, slot.length)) < 0,
    );
    const atOnce = chords.find(({ at }) => equals(at, slot.at));
    const now = atOnce?.symbol ?? sounding;
    sounding = chords.at(-1)?.symbol ?? sounding;
    return [
      ...chords.map((chord) => harmony(chord, sub(chord.at, slot.at), divisions, shapes)),
      beat(slot.length, divisions, now === SILENCE),
    ];
  });
}

function harmony(
  { symbol, shape }: ChordAt,
  after: Rational,
  divisions: number,
  shapes: ReadonlyMap<string, Frets>,
): XmlElement {
  const frets = shape ?? shapes.get(symbol);
  const late = compare(after, ZERO) > 0;
  return element(
    'harmony',
    [
      ...chordElements(symbol),
      ...(frets ? [frameElement(frets)] : []),
      ...(late ? [element('offset', inDivisions(after, divisions))] : []),
    ],
    // A shape of the whole chart is told, a pinned one is shown.
    { 'print-frame': frets && !shape ? 'no' : undefined },
  );
}

/** Note values of every length that a beat can have, in quarter notes. */
const NOTE_TYPES: readonly (readonly [Rational, type: string, dotted: boolean])[] = [
  [rational(2), 'half', false],
  [rational(3, 2), 'quarter', true],
  [rational(1), 'quarter', false],
  [rational(3, 4), 'eighth', true],
  [rational(1, 2), 'eighth', false],
  [rational(1, 4), '16th', false],
];

function beat(length: Rational, divisions: number, silent: boolean): XmlElement {
  const type = NOTE_TYPES.find(([value]) => equals(value, length));
  const pitch = element('pitch', [element('step', 'B'), element('octave', 3)]);
  return element('note', [
    silent ? element('rest') : pitch,
    element('duration', inDivisions(length, divisions)),
    element('voice', 1),
    ...(type ? [element('type', type[1])] : []),
    ...(type?.[2] ? [element('dot')] : []),
    ...(silent ? [] : [element('stem', 'none'), element('notehead', 'slash')]),
  ]);
}
