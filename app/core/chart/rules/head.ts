// Rules for what stands at the top of a chart: title, tempo, meter, feel, key, capo, tuning, shapes.
import { readTuning, TUNINGS, tuningWithOctaves } from '../../harmony/tunings.ts';
import { type Problem, type Result, fail, ok } from '../../base/result.ts';
import { MAX_BPM, MIN_BPM } from '../../base/units.ts';
import { STRINGS } from '../../fretboard/frets.ts';
import {
  MAX_CAPO,
  MAX_FRET,
  MAX_NAME,
  MAX_SHAPES,
  MAX_SYMBOL,
  MAX_TITLE,
} from '../../model/limits.ts';
import { checkMeter } from '../../rhythm/meter.ts';
import type { NoteNames } from '../../model/chord.ts';
import type { ChartBody, ChartShape, Feel, Frets, Tempo, Tuning } from '../../model/chart.ts';
import { readKey } from '../../harmony/key.ts';
import { inNames } from '../../harmony/note-names.ts';
import { readChord } from '../../harmony/read.ts';
import { checkHeadTexts } from './marks.ts';
import { type ChartProblem, placed, problemAt } from './place.ts';

/** What is wrong above the first section, field by field; empty where nothing is. */
export function checkHead(chart: ChartBody): ChartProblem[] {
  const meter = checkMeter(chart.meter);
  return [
    ...checkTitle(chart.title),
    ...placed(problemsOf(checkKey(chart.key)), { field: 'key' }),
    ...placed(problemsOf(checkTempo(chart.tempo)), { field: 'tempo' }),
    ...placed(problemsOf(meter), { field: 'meter' }),
    ...placed(problemsOf(checkFeel(chart.feel)), { field: 'feel' }),
    ...placed(problemsOf(checkCapo(chart.capo)), { field: 'capo' }),
    ...placed(problemsOf(checkTuning(chart.tuning)), { field: 'tuning' }),
    ...checkShapes(chart.shapes, chart.names),
    ...checkHeadTexts(chart),
  ];
}

/** Empty where the result is good. */
export const problemsOf = (result: Result<unknown>): readonly Problem[] =>
  result.ok ? [] : result.problems;

const refuse = (code: string, message: string, cure: string): Result<never> =>
  fail({ code, message, cure });

function checkTitle(title: string): ChartProblem[] {
  const oneLine = !/[\n\r\t]/.test(title) && title.trim() === title;
  if (oneLine && title.length > 0 && title.length <= MAX_TITLE) return [];
  const message =
    title.trim() === '' ? 'the chart has no title' : 'the title does not fit one line';
  const cure = `Write one of 1 to ${MAX_TITLE} characters, e.g. title: Harbour Lights.`;
  return [problemAt({ field: 'title' }, 'chart-title', message, cure)];
}

/** 20–400 bpm with at most two decimals. */
export function checkTempo(tempo: Tempo): Result<Tempo> {
  const { bpm } = tempo;
  if (!(bpm >= MIN_BPM && bpm <= MAX_BPM)) {
    const cure = `Choose ${MIN_BPM} to ${MAX_BPM} beats per minute.`;
    return refuse('tempo-range', `a tempo of ${bpm} is out of range`, cure);
  }
  if (Math.round(bpm * 100) / 100 !== bpm) {
    return refuse('tempo-decimals', `a tempo of ${bpm} is too fine`, 'Use at most two decimals.');
  }
  return ok(tempo);
}

/** Longest part of a swing ratio. */
const MAX_RATIO = 16;

/** Swing is a ratio of whole numbers from 1 to {@link MAX_RATIO}, the longer first. */
export function checkFeel(feel: Feel): Result<Feel> {
  if (feel.kind === 'straight') return ok(feel);
  const whole = [feel.long, feel.short].every(
    (n) => Number.isInteger(n) && n >= 1 && n <= MAX_RATIO,
  );
  if (whole && feel.long > feel.short) return ok(feel);
  const message = `a swing of ${feel.long}:${feel.short} does not make the first note longer`;
  return refuse(
    'feel-ratio',
    message,
    `Write long:short in whole numbers to ${MAX_RATIO}, e.g. 2:1.`,
  );
}

/** A key as typed: a note, then "major", "minor", "m" or nothing. */
const checkKey = (key: string | undefined): Result<unknown> =>
  key === undefined ? ok(key) : readKey(key);

function checkCapo(capo: number): Result<number> {
  if (Number.isInteger(capo) && capo >= 0 && capo <= MAX_CAPO) return ok(capo);
  return refuse(
    'capo-range',
    `a capo at fret ${capo} is out of range`,
    `Use 0 (none) to ${MAX_CAPO}.`,
  );
}

/** A tuning has a name that can be typed, and six strings whose pitches {@link readTuning} takes. */
export function checkTuning(tuning: Tuning): Result<Tuning> {
  const { name, strings } = tuning;
  if (name.trim() !== name || name === '' || name.length > MAX_NAME || /[=\n\r\t]/.test(name)) {
    const cure = `Use 1 to ${MAX_NAME} characters without =.`;
    return refuse('tuning-name', `‘${name.slice(0, MAX_NAME)}’ cannot name a tuning`, cure);
  }
  if (strings.length !== STRINGS) {
    const cure = `Give ${STRINGS} notes, from string 6 to string 1.`;
    return refuse('tuning-strings', `‘${name}’ has ${strings.length} strings`, cure);
  }
  if (TUNINGS.some((known) => known.strings.every((midi, i) => midi === strings[i])))
    return ok(tuning);
  const read = readTuning(tuningWithOctaves(tuning));
  return read.ok ? ok(tuning) : read;
}

function checkShapes(shapes: readonly ChartShape[], names: ChartBody['names']): ChartProblem[] {
  if (shapes.length > MAX_SHAPES) {
    const message = `the chart pins ${shapes.length} shapes`;
    return [
      problemAt({ shape: MAX_SHAPES }, 'shapes-many', message, `Keep ${MAX_SHAPES} at most.`),
    ];
  }
  return shapes.flatMap(({ symbol, frets }, index) => {
    const place = { shape: index };
    const twice = shapes.findIndex((shape) => shape.symbol === symbol) < index;
    return [
      ...placed(problemsOf(checkSymbol(symbol, names)), place),
      ...placed(problemsOf(checkFrets(frets, symbol)), place),
      ...(twice
        ? [
            problemAt(
              place,
              'shape-twice',
              `${inNames(symbol, names)} has two shapes`,
              'Keep one of them.',
            ),
          ]
        : []),
    ];
  });
}

/** Signs that part the text form or a unit key; a symbol has none of them, and its brackets are closed. */
const SYMBOL = /^[^\s[\]{}|:,=]+$/u;

/** The one way to write silence. */
export const SILENCE = 'N.C.';

/** `names` is how the chart's text names notes: a symbol that cannot be read is as typed there, and so is its cure. */
export function checkSymbol(symbol: string, names?: NoteNames): Result<string> {
  if (!SYMBOL.test(symbol) || symbol.length > MAX_SYMBOL || !bracketsClose(symbol)) {
    const cure = `Use 1 to ${MAX_SYMBOL} characters without spaces, e.g. Am7 or C/G.`;
    return refuse('chord-signs', `‘${symbol.slice(0, MAX_SYMBOL)}’ is not a chord symbol`, cure);
  }
  const chord = readChord(symbol);
  if (!chord.ok) {
    const typed = names && readChord(symbol, names);
    return typed && !typed.ok ? typed : chord;
  }
  if (chord.value.kind === 'silence' && symbol !== SILENCE) {
    return refuse('chord-silence', `‘${symbol}’ means silence`, `Write it as ${SILENCE}.`);
  }
  return ok(symbol);
}

function bracketsClose(symbol: string): boolean {
  let depth = 0;
  for (const sign of symbol) {
    if (sign === '(') depth++;
    if (sign === ')') depth--;
    if (depth < 0) return false;
  }
  return depth === 0;
}

/** Six frets on the neck, string 6 first, of which one string sounds at least. @param symbol named in the message */
export function checkFrets(frets: Frets, symbol: string): Result<Frets> {
  const cure = `Give ${STRINGS} frets of 0 to ${MAX_FRET} or x, from string 6 to string 1.`;
  const inRange = (fret: number | null): boolean =>
    fret === null || (Number.isInteger(fret) && fret >= 0 && fret <= MAX_FRET);
  if (symbol === SILENCE) {
    return refuse('shape-silence', `${SILENCE} has a shape`, 'Take the shape away.');
  }
  if (frets.length !== STRINGS || !frets.every(inRange)) {
    return refuse('shape-frets', `the shape of ${symbol} does not fit the neck`, cure);
  }
  if (frets.every((fret) => fret === null)) {
    return refuse('shape-silent', `the shape of ${symbol} leaves no string sounding`, cure);
  }
  return ok(frets);
}
