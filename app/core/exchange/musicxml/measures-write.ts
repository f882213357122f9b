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
import { Note } from 'tonal';
import { readKey } from '../../harmony/key.ts';
import { beatUnitLength, printMeter } from '../../chart/meter.ts';
import { printFeel } from '../../chart/notation/fields.ts';
import type { ChordAt, Feel, Frets, Meter, Tempo } from '../../chart/model.ts';
import { SILENCE } from '../../chart/rules/head.ts';
import { slotsOf, type Slot } from '../../chart/slots.ts';
import { printStrum } from '../../chart/strum.ts';
import { chordElements } from './chord-kinds.ts';
import { frameElement } from './frames.ts';
import type { Sheet, SheetBar } from './sheet.ts';
import { type XmlElement, element } from './xml-write.ts';

/** Divisions of a quarter note in which ordinary positions are whole: sixteenths and triplets of them. */
const USUAL_DIVISIONS = 24;
/** Words for a section without a strum pattern after one with a pattern. */
export const PLAIN_STRUM = 'one stroke on each beat';

export const measureElements = (sheet: Sheet): readonly XmlElement[] => {
  const shapes = new Map(sheet.shapes.map(({ symbol, frets }) => [symbol, frets]));
  let pickups = 0;
  return sheet.bars.map((bar, i) => {
    if (bar.pickup) pickups++;
    const number = bar.pickup ? `X${pickups}` : String(i + 1 - pickups);
    return element('measure', measureContent(sheet, i, shapes), {
      number,
      implicit: bar.pickup ? 'yes' : undefined,
    });
  });
};

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

function keyElements(key: string | undefined): XmlElement[] {
  const read = key === undefined ? undefined : readKey(key);
  if (!read?.ok) return [];
  return [element('key', [element('fifths', read.value.sharps), element('mode', read.value.mode)])];
}

/** The grouping is written as a sum where it is not the usual one: 3+2+2 over 8. */
function timeElement(meter: Meter): XmlElement {
  const unusual = printMeter(meter).includes('(');
  const beats = unusual ? meter.grouping.join('+') : meter.numerator;
  return element('time', [element('beats', beats), element('beat-type', meter.unit)]);
}

function staffDetails({ capo, tuning }: Sheet): XmlElement[] {
  const standard = tuning.strings.join() === STANDARD.strings.join();
  if (capo === 0 && standard) return [];
  const strings = tuning.strings.map((midi, i) => tuningElement(midi, i + 1));
  return [
    element('staff-details', [
      ...(standard ? [] : [element('staff-lines', 5), ...strings]),
      ...(capo === 0 ? [] : [element('capo', capo)]),
    ]),
  ];
}

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

function leftBarline(bar: SheetBar): XmlElement[] {
  if (!bar.repeatStart && !bar.endings) return [];
  return [
    element(
      'barline',
      [
        ...(bar.repeatStart ? [element('bar-style', 'heavy-light')] : []),
        ...(bar.endings ? [endingElement(bar.endings, 'start')] : []),
        ...(bar.repeatStart ? [element('repeat', [], { direction: 'forward' })] : []),
      ],
      { location: 'left' },
    ),
  ];
}

const endingElement = (
  times: readonly number[],
  type: 'start' | 'stop' | 'discontinue',
): XmlElement =>
  element('ending', type === 'start' ? `${times.join(', ')}.` : [], {
    number: times.join(', '),
    type,
  });

function rightBarline(bars: readonly SheetBar[], index: number): XmlElement[] {
  const bar = bars[index]!;
  const next = bars[index + 1];
  const ends = bar.repeatEnd !== undefined;
  const style =
    ends || !next ? 'light-heavy' : next.heading !== undefined ? 'light-light' : undefined;
  const ending = endOfEnding(bars, index);
  if (!style && !ending) return [];
  const times = bar.repeatEnd !== undefined && bar.repeatEnd > 2 ? bar.repeatEnd : undefined;
  return [
    element(
      'barline',
      [
        ...(style ? [element('bar-style', style)] : []),
        ...(ending ? [ending] : []),
        ...(ends ? [element('repeat', [], { direction: 'backward', times })] : []),
      ],
      { location: 'right' },
    ),
  ];
}

/** An ending's bracket ends at its repeat; the last one has none and stays open after one bar. */
function endOfEnding(bars: readonly SheetBar[], index: number): XmlElement | undefined {
  const bar = bars[index]!;
  const from = bars.slice(0, index + 1).findLastIndex((b) => b.endings || b.heading !== undefined);
  const times = bars[from]?.endings;
  const closed = bars.slice(Math.max(0, from), index).some((b) => b.repeatEnd !== undefined);
  if (!times || closed) return undefined;
  if (bar.repeatEnd !== undefined) return endingElement(times, 'stop');
  return from === index && !repeatsLater(bars, index)
    ? endingElement(times, 'discontinue')
    : undefined;
}

/** Does the ending that starts here come to a repeat sign? */
function repeatsLater(bars: readonly SheetBar[], start: number): boolean {
  const after = bars.slice(start + 1);
  const stop = after.findIndex((b) => b.endings || b.repeatStart || b.heading !== undefined);
  return after.slice(0, stop < 0 ? undefined : stop).some((b) => b.repeatEnd !== undefined);
}
