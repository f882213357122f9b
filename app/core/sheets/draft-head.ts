// What a draft says about the whole song: what its sheet tells, and what is put in where it tells nothing.
import { parseFeel, parseMeter, parseTempo, parseTuning } from '../chart/notation/fields.ts';
import { readKey } from '../harmony/key.ts';
import { keyInNames } from '../harmony/note-names.ts';
import { STANDARD, TUNINGS } from '../harmony/tunings.ts';
import type { Meter } from '../model/chart.ts';
import type { NoteNames } from '../model/chord.ts';
import { MAX_CAPO, MAX_TITLE } from '../model/limits.ts';
import { isCompound, printMeter, printTempo } from '../rhythm/meter.ts';
import { meterOfBeats } from './draft-bars.ts';
import type { Sheet } from './model.ts';

/** Common practice where a sheet says no tempo: quarter notes, and dotted ones in compound time. */
const USUAL_TEMPO = 96;
const USUAL_COMPOUND_TEMPO = 64;
const USUAL_METER = '4/4';

export interface DraftHead {
  readonly meter: Meter;
  /** As typed, one field to a line. */
  readonly lines: string;
  /** What was guessed, put in or could not be read, in words for people. */
  readonly guesses: readonly string[];
}

/** The head of the draft; what the sheet does not say is guessed, and the guess is told. */
export function draftHead(sheet: Sheet, names: NoteNames | undefined): DraftHead {
  const guesses: string[] = [];
  const meter = meterOf(sheet, guesses);
  const head = [
    `title: ${(sheet.title ?? 'New chart').trim().slice(0, MAX_TITLE)}`,
    ...(sheet.by ? [`by: ${sheet.by}`] : []),
    ...(names === 'german' ? ['names: german'] : []),
    ...(sheet.key && readKey(sheet.key).ok ? [`key: ${keyInNames(sheet.key, names)}`] : []),
    `tempo: ${tempoOf(sheet, meter, guesses)}`,
    `meter: ${printMeter(meter)}`,
    ...feelOf(sheet, meter),
    ...capoOf(sheet, guesses),
    ...tuningOf(sheet, names, guesses),
  ];
  if (!sheet.title) guesses.push('No title is written.');
  return { meter, lines: head.join('\n'), guesses };
}

function meterOf(sheet: Sheet, guesses: string[]): Meter {
  const told = sheet.meter === undefined ? undefined : parseMeter(sheet.meter);
  if (told?.ok) return told.value;
  const counted = meterOfBeats(sheet.sections.flatMap(({ lines }) => lines));
  const put = counted ?? USUAL_METER;
  const without = told ? `The meter “${sheet.meter!}” cannot be read` : 'No meter is written';
  guesses.push(
    counted === undefined
      ? `${without}; ${put} is put in.`
      : `${without}; ${put} is counted from the beats of the bars.`,
  );
  const meter = parseMeter(put);
  if (!meter.ok) throw new Error(`the usual meter ${put} is none`);
  return meter.value;
}

function tempoOf({ tempo, counted }: Sheet, meter: Meter, guesses: string[]): string {
  const usual = isCompound(meter) ? USUAL_COMPOUND_TEMPO : USUAL_TEMPO;
  const told =
    tempo === undefined
      ? undefined
      : parseTempo(counted === undefined ? String(tempo) : `${counted} = ${tempo}`, meter);
  if (told?.ok) return printTempo(told.value);
  const put = parseTempo(String(usual), meter);
  if (!put.ok) throw new Error(`the usual tempo ${usual} is none`);
  const text = printTempo(put.value);
  guesses.push(
    told
      ? `A tempo of ${tempo!} is outside what can be played; ${text} is put in.`
      : `No tempo is written; ${text} is put in.`,
  );
  return text;
}

/** Beats of three are swung as they are. */
function feelOf({ feel }: Sheet, meter: Meter): readonly string[] {
  if (feel === undefined || isCompound(meter)) return [];
  const read = parseFeel(feel);
  return read.ok && read.value.kind !== 'straight' ? [`feel: ${feel}`] : [];
}

function capoOf({ capo }: Sheet, guesses: string[]): readonly string[] {
  if (capo === undefined || capo === 0) return [];
  if (capo <= MAX_CAPO) return [`capo: ${capo}`];
  guesses.push(`A capo at fret ${capo} is higher than a chart can have and is left out.`);
  return [];
}

function tuningOf(
  { tuning, strings }: Sheet,
  names: NoteNames | undefined,
  guesses: string[],
): readonly string[] {
  if (strings !== undefined) {
    guesses.push(
      `The sheet is for ${strings} strings. A chart is for six: its chords are kept, its tuning is not.`,
    );
    return [];
  }
  if (tuning === undefined) return [];
  const read = parseTuning(tuning, names);
  if (!read.ok) {
    guesses.push(`The tuning is left out: ${read.problems.map((p) => p.message).join(' ')}`);
    return [];
  }
  const { strings: pitches } = read.value;
  const known = TUNINGS.find((one) => one.strings.join() === pitches.join());
  return known === STANDARD ? [] : [`tuning: ${known?.name ?? tuning}`];
}
