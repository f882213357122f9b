// Judges a lead line note by note: it knows what should sound and when, and compares the heard pitches
// and beginnings with that. For one note at a time; notes struck together are judged by onset alone.
import type { LeadMoment, PlayedLeadNote } from '../../timeline/lead.ts';
import type { Cents, Midi, Milliseconds, Seconds } from '../../base/units.ts';
import { findOnsets, type Onset } from '../onsets.ts';
import type { LeadHeard, NoteHeard } from './model.ts';
import { framesBetween, median, type PitchFrame, pitchTrack } from './pitch-track.ts';

export interface LeadTake {
  /** At the ear's rate, one channel, clicks taken out. */
  readonly samples: Float32Array;
  /** When in the recording the lap's own time 0 sounds. */
  readonly start: Seconds;
}

/** Farther from its time than this, a beginning belongs to another note, or to none. */
const REACH: Seconds = 0.16;
/** A pitch this near the written one is that note (a semitone lies between frets). */
const NEAR: Cents = 45;
/** A bend that arrives this near is right: hands are less exact than frets. Ours, no source. */
const BEND_NEAR: Cents = 40;
/** The attack's noise, and the frames that still hear the note before. */
const SETTLES: Seconds = 0.035;
const LEAVES: Seconds = 0.02;
/** Frames needed to name a pitch. */
const ENOUGH = 3;
/** A struck note this long without a pitch was choked; a shorter one cannot be told. */
const TELLS_MUTED: Seconds = 0.18;
/** A detuned guitar is followed this far (the chords' ear says so too). */
const MOST_DETUNED: Cents = 50;

/** @param onTime Half-width of the window in which a note is on time. */
export function judgeLead(
  moments: readonly LeadMoment[],
  take: LeadTake,
  onTime: Milliseconds,
): LeadHeard {
  const frames = pitchTrack(take.samples);
  const begins = beginnings(moments, take, frames);
  const tuning = tuningOf(moments, begins, frames, take.start);
  const notes = moments.map((moment, i) => {
    const span = spanOf(moments, begins, i, take.start);
    return hearNote(moment, begins[i], framesBetween(frames, ...span), {
      start: take.start,
      onTime,
      tuning: tuning ?? 0,
    });
  });
  return { notes, ...(tuning !== undefined && { tuning }) };
}

/** Where each moment begins in the recording; undefined where nothing was heard to begin. */
function beginnings(
  moments: readonly LeadMoment[],
  take: LeadTake,
  frames: readonly PitchFrame[],
): readonly (Seconds | undefined)[] {
  const onsets = findOnsets(take.samples);
  const free = new Set(onsets);
  return moments.map((moment, i) => {
    const expected = take.start + moment.seconds;
    const reach = Math.min(REACH, ...gapsAround(moments, i).map((gap) => 0.6 * gap));
    if (isPicked(moment)) {
      const onset = nearest(free, expected, reach);
      if (onset) free.delete(onset);
      return onset?.at ?? pitchTurn(moments, i, frames, expected, reach);
    }
    return pitchTurn(moments, i, frames, expected, reach) ?? nearest(free, expected, reach)?.at;
  });
}

const isPicked = (moment: LeadMoment): boolean =>
  moment.notes.some((note) => note.reach === 'picked');

const gapsAround = (moments: readonly LeadMoment[], i: number): Seconds[] =>
  [moments[i - 1], moments[i + 1]].flatMap((other) =>
    other ? [Math.abs(other.seconds - moments[i]!.seconds)] : [],
  );

function nearest(onsets: Iterable<Onset>, at: Seconds, reach: Seconds): Onset | undefined {
  let best: Onset | undefined;
  for (const onset of onsets) {
    const far = Math.abs(onset.at - at);
    if (far <= reach && (!best || far < Math.abs(best.at - at))) best = onset;
  }
  return best;
}

/** A soft beginning: the pitch passes half-way from the note before to this one. */
function pitchTurn(
  moments: readonly LeadMoment[],
  i: number,
  frames: readonly PitchFrame[],
  expected: Seconds,
  reach: Seconds,
): Seconds | undefined {
  const from = moments[i - 1]?.notes[0]?.pitch;
  const to = moments[i]!.notes[0]?.pitch;
  if (from === undefined || to === undefined || from === to) return undefined;
  const half = (from + to) / 2;
  const side = (frame: PitchFrame): boolean => frame.pitch > half === to > half;
  const around = framesBetween(frames, expected - reach, expected + reach);
  const turn = around.findIndex((frame, k) => k > 0 && side(frame) && !side(around[k - 1]!));
  return turn < 0 ? undefined : (around[turn - 1]!.at + around[turn]!.at) / 2;
}

/** From where the note has settled to where the next one begins or it is stopped. */
function spanOf(
  moments: readonly LeadMoment[],
  begins: readonly (Seconds | undefined)[],
  i: number,
  start: Seconds,
): [Seconds, Seconds] {
  const from = begins[i] ?? start + moments[i]!.seconds;
  const next = moments[i + 1] && (begins[i + 1] ?? start + moments[i + 1]!.seconds);
  const to = Math.min(from + moments[i]!.until - moments[i]!.seconds, next ?? Infinity);
  return [from + SETTLES, Math.max(from + SETTLES, to - LEAVES)];
}

/** The median distance of what lies near a written pitch; a wrong note says nothing of the tuning. */
function tuningOf(
  moments: readonly LeadMoment[],
  begins: readonly (Seconds | undefined)[],
  frames: readonly PitchFrame[],
  start: Seconds,
): Cents | undefined {
  const offsets = moments.flatMap((moment, i) => {
    const note = single(moment);
    if (!note || note.bend || note.vibrato || note.pitch === undefined) return [];
    const heard = framesBetween(frames, ...spanOf(moments, begins, i, start));
    const pitch = median(heard.map((frame) => frame.pitch));
    const cents = pitch === undefined ? Infinity : 100 * (pitch - note.pitch);
    return Math.abs(cents) <= MOST_DETUNED + NEAR ? [cents] : [];
  });
  const found = offsets.length < ENOUGH ? undefined : median(offsets);
  return found !== undefined && Math.abs(found) <= MOST_DETUNED ? found : undefined;
}

const single = (moment: LeadMoment): PlayedLeadNote | undefined =>
  moment.notes.length === 1 ? moment.notes[0] : undefined;

interface Listening {
  readonly start: Seconds;
  readonly onTime: Milliseconds;
  readonly tuning: Cents;
}

function hearNote(
  moment: LeadMoment,
  begins: Seconds | undefined,
  frames: readonly PitchFrame[],
  listening: Listening,
): NoteHeard {
  const place = { bar: moment.bar, entry: moment.entry };
  const note = single(moment);
  if (begins === undefined && frames.length < ENOUGH) {
    return { ...place, timing: 'silent', pitch: 'silent', confidence: 0.8 };
  }
  const timing = timingOf(begins, moment, listening);
  const clear = Math.min(1, frames.length / (2 * ENOUGH));
  if (!note) return { ...place, ...timing, pitch: 'unsure', confidence: 0.5 };
  if (note.pitch === undefined) {
    const dead = frames.length < ENOUGH;
    return { ...place, ...timing, pitch: dead ? 'right' : 'wrong', confidence: 0.7 };
  }
  if (frames.length < ENOUGH) {
    const long = moment.until - moment.seconds >= TELLS_MUTED;
    return { ...place, ...timing, pitch: long ? 'muted' : 'unsure', confidence: 0.3 };
  }
  const tuned = frames.map((frame) => frame.pitch - listening.tuning / 100);
  return { ...place, ...timing, ...pitchOf(note, tuned), confidence: clear };
}

function timingOf(
  begins: Seconds | undefined,
  moment: LeadMoment,
  { start, onTime }: Listening,
): Pick<NoteHeard, 'timing' | 'offset'> {
  if (begins === undefined) return { timing: 'unsure' };
  const offset = 1000 * (begins - start - moment.seconds);
  const timing = Math.abs(offset) <= onTime ? 'on-time' : offset < 0 ? 'early' : 'late';
  return { timing, offset };
}

function pitchOf(
  note: PlayedLeadNote,
  tuned: readonly Midi[],
): Pick<NoteHeard, 'pitch' | 'heard' | 'bend'> {
  const written = note.pitch!;
  if (note.bend) return bendOf(written, note.bend.semitones, tuned);
  // Vibrato and the end of a slide sway; the middle value is the note.
  const heard = median(tuned)!;
  if (100 * Math.abs(heard - written) <= NEAR) return { pitch: 'right' };
  return { pitch: 'wrong', heard: Math.round(heard) };
}

/** A bend stays longest where it arrives: the highest plateau, which half a semitone of spread belongs to. */
function bendOf(
  written: Midi,
  semitones: number,
  tuned: readonly Midi[],
): Pick<NoteHeard, 'pitch' | 'heard' | 'bend'> {
  const top = tuned.toSorted((a, b) => b - a)[Math.floor(0.1 * tuned.length)]!;
  const plateau = median(tuned.filter((pitch) => Math.abs(pitch - top) <= 0.25)) ?? top;
  const bend = 100 * (plateau - written - semitones);
  return { pitch: Math.abs(bend) <= BEND_NEAR ? 'right' : 'wrong', bend };
}
