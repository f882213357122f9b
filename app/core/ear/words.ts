// What the ear says, in words: one sentence for a change, one for each oddity of a take.
import type { NoteNames } from '../model/chord.ts';
import { shownNote, shownSymbol } from '../harmony/note-names.ts';
import { spellNear } from '../harmony/notes.ts';
import { readChord } from '../harmony/read.ts';
import { faultOfTiming, isOfTime } from '../log/told.ts';
import type { ChangeHeard } from '../model/pass.ts';
import type { Problem } from '../base/result.ts';
import type { Finger, Milliseconds, StringNo } from '../base/units.ts';
import type { Findings } from './listener.ts';

/** "C → F♯m"; "to C" where nothing sounded before. */
export const changeName = (
  { from, to }: Pick<ChangeHeard, 'from' | 'to'>,
  names?: NoteNames,
): string =>
  from === ''
    ? `to ${shownSymbol(to, names)}`
    : `${shownSymbol(from, names)} → ${shownSymbol(to, names)}`;

/** Chord first, since a wrong chord in time is still wrong: "still C", "late by 140 ms", "right and in time". */
export function changeWords(change: ChangeHeard, names?: NoteNames): string {
  const chord = chordWords(change, names);
  const off = offWords(change);
  // Where the chord never changed, nothing came late either.
  if (change.chord === 'silent' || change.chord === 'held') return chord;
  if (change.chord !== 'right') return off === undefined ? chord : `${chord}, ${off}`;
  if (change.timing === 'on-time') return 'right and in time';
  return off ?? 'the ear can’t tell when';
}

function chordWords(change: ChangeHeard, names: NoteNames | undefined): string {
  const { chord, from, dead, fingers } = change;
  if (chord === 'other' && isSilence(change.to)) return 'something sounded where all is silent';
  switch (chord) {
    case 'right':
      return 'right chord';
    case 'held':
      return `still ${shownSymbol(from, names)}`;
    case 'other':
      return otherWords(change, names);
    case 'muted':
      return dead ? deadWords(dead, fingers) : 'strings muted or buzzing';
    case 'silent':
      return 'nothing was played';
    case 'unsure':
      return 'the ear can’t tell which chord';
  }
}

const isSilence = (symbol: string): boolean => {
  const read = readChord(symbol);
  return read.ok && read.value.kind === 'silence';
};

/** More dead strings than this are most of any chord's. */
const MOST = 3;

/** "string 2 was dead: finger 1 presses too far from the fret, or another finger touches it". */
function deadWords(dead: readonly StringNo[], fingers: ChangeHeard['fingers']): string {
  if (dead.length > MOST) return 'most strings were dead: press nearer to the frets';
  return `${stringsWords(dead)} dead: ${cureWords(dead, fingers)}`;
}

/** "string 2 was", "strings 1, 2 and 4 were". */
function stringsWords(strings: readonly StringNo[]): string {
  const all = strings.toSorted((a, b) => a - b);
  const [last, ...before] = all.toReversed();
  return before.length === 0
    ? `string ${last} was`
    : `strings ${before.toReversed().join(', ')} and ${last} were`;
}

/** No ear tells a finger beside the fret from a neighbour that lies on the string, so both are said. */
function cureWords(dead: readonly StringNo[], fingers: ChangeHeard['fingers']): string {
  const it = dead.length > 1 ? 'them' : 'it';
  if (!fingers) return `press ${it} nearer to the fret, and keep other fingers off`;
  const pressing = [...new Set(fingers.filter((finger) => finger !== null))].toSorted();
  const open = dead.some((_, i) => (fingers[i] ?? null) === null);
  if (pressing.length === 0) return `a finger touches ${it}, or the stroke missed ${it}`;
  const one = pressing.length === 1;
  const far = `${fingerWords(pressing)} ${one ? 'presses' : 'press'} too far from the fret`;
  return `${far}, or ${open ? `${one ? 'touches' : 'touch'} the open one` : `another finger touches ${it}`}`;
}

const fingerWords = (pressing: readonly Finger[]): string =>
  pressing.length === 1
    ? pressing[0] === 'T'
      ? 'the thumb'
      : `finger ${pressing[0]}`
    : `fingers ${pressing.map((finger) => (finger === 'T' ? 'thumb' : finger)).join(' and ')}`;

/**
 * "an E too many: mute string 6"; "string 2 rang open: finger 1 does not hold it"; "sounds like a gripped G7, an F too many"
 * where it may come from anywhere.
 */
function otherWords(change: ChangeHeard, names: NoteNames | undefined): string {
  const { heard, extra, ringing, dead = [], fingers = [] } = change;
  if (ringing !== undefined && dead.includes(ringing)) {
    const [finger] = fingers;
    const held = finger ? `${fingerWords([finger])} does not hold it` : 'hold it down';
    return `string ${ringing} rang open: ${held}`;
  }
  const name = extra === undefined ? undefined : shownNote(spellNear(extra % 12), names);
  const many = name && `${/^[AEFH]/.test(name) ? 'an' : 'a'} ${name} too many`;
  if (many && ringing) return `${many}: mute string ${ringing}`;
  if (heard === undefined) return many ? `${many}: keep that string quiet` : 'another chord';
  const like = `sounds like a gripped ${shownHeard(heard, names)}`;
  return many ? `${like}, ${many}` : like;
}

/** Of a lead it is a note with its octave: "B♭3", in German "B3". */
function shownHeard(heard: string, names: NoteNames | undefined): string {
  const [, note, octave] = /^([A-G][#b]?)(-?\d)$/.exec(heard) ?? [];
  return note === undefined || readChord(heard).ok
    ? shownSymbol(heard, names)
    : `${shownNote(note, names)}${octave}`;
}

/** "late by 140 ms"; undefined where it came in time, or the ear can't tell when it came. */
function offWords({ timing, offset }: ChangeHeard): string | undefined {
  const fault = faultOfTiming(timing);
  if (offset === undefined || !fault || !isOfTime(fault)) return undefined;
  return `${fault} by ${Math.abs(offset) < HAIR ? `a hair (${inMs(offset)})` : inMs(offset)}`;
}

/** Off by less than this a listener hears two players hardly apart. Ours; up to 35 ms they are together. */
const HAIR: Milliseconds = 60;

/** "140 ms", whole and without a sign. */
export const inMs = (offset: Milliseconds): string => `${Math.round(Math.abs(offset))} ms`;

/** Below this peak (−34 dBFS) too little is left above the noise of a usual microphone. Ours. */
const TOO_SOFT = 0.02;
/** A peak below −54 dBFS is nobody playing. */
const SILENT = 0.002;
/** More than one sample in a thousand at full scale. */
const CLIPPED = 0.001;
const DETUNED = 15;

/** What the player should know about the take, worst first; empty when all is well. */
export function findingsWords(findings: Findings): Problem[] {
  const { peak, clipped, tuning, shift, lost } = findings;
  if (peak < SILENT) return [SILENCE];
  const found: Problem[] = [];
  if (peak < TOO_SOFT) found.push(SOFT);
  if (clipped > CLIPPED) found.push(CLIPPING);
  if (lost > 0) found.push(LOST);
  if (shift !== 0) found.push(shifted(shift));
  if (Math.abs(tuning) > DETUNED) found.push(detuned(tuning));
  return found;
}

const SILENCE: Problem = {
  code: 'ear-silence',
  message: 'The microphone heard nothing',
  cure: 'Check that the right microphone is chosen and not muted.',
};
const SOFT: Problem = {
  code: 'ear-too-soft',
  message: 'The guitar is too soft to be heard well',
  cure: 'Move the microphone nearer, or turn its level up.',
};
const CLIPPING: Problem = {
  code: 'ear-clipping',
  message: 'The recording is too loud and was cut off',
  cure: 'Turn the microphone’s level down until the meter stays below the top.',
};

const LOST: Problem = {
  code: 'ear-lost',
  message: 'Some of the sound did not arrive, so the ear says nothing about the changes there',
  cure: 'Close other programs that keep this computer busy, then play it again.',
};

const detuned = (tuning: number): Problem => ({
  code: 'ear-detuned',
  message: `The guitar is about ${Math.round(Math.abs(tuning))} cents ${tuning < 0 ? 'flat' : 'sharp'}; the ear allows for it`,
  cure: 'Tune it before the next climb.',
});

function shifted(shift: number): Problem {
  const frets = Math.abs(shift) === 1 ? '1 fret' : `${Math.abs(shift)} frets`;
  return {
    code: 'ear-capo',
    message: `Every chord sounds ${frets} ${shift > 0 ? 'higher' : 'lower'} than the chart says`,
    cure: 'Check the capo and the tuning, or change the capo in the chart.',
  };
}
