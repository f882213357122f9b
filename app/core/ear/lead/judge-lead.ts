// Judges a lead line note by note: it knows what should sound and when. The network that hears chords says when each
// note began and which pitches were struck; bends are read from the pitch over time.
import { median } from '../../base/median.ts';
import type { LeadMoment, PlayedLeadNote } from '../../timeline/lead.ts';
import type { Cents, Midi, Milliseconds, Seconds, Share } from '../../base/units.ts';
import { type Frames, soundFrames } from '../frames.ts';
import { momentOf } from '../judge-change.ts';
import { type Impression, marksOf, type Network } from '../network/network.ts';
import { FAST, LOWEST_PITCH } from '../network/shape.ts';
import { strokesBetween } from '../strokes.ts';
import { timingOf } from '../verdict.ts';
import type { LeadHeard, NoteHeard } from './model.ts';
import { type PitchFrame, type PitchIn, pitchTrack } from './pitch-track.ts';

export interface LeadTake {
  /** At the ear's rate, one channel, clicks taken out. */
  readonly samples: Float32Array;
  /** When in the recording the lap's own time 0 sounds. */
  readonly start: Seconds;
}

/** Farther from its time than this, the stroke of a dead note belongs to another one. */
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
/** A detuned guitar is followed this far (the chords' ear says so too). */
const MOST_DETUNED: Cents = 50;

/** @param onTime Half-width of the window in which a note is on time. */
export function judgeLead(
  moments: readonly LeadMoment[],
  take: LeadTake,
  onTime: Milliseconds,
  network: Network,
): LeadHeard {
  const pitchIn = pitchTrack(take.samples);
  const impressions = impressionsOf(moments, take, network);
  const begins = impressions.map((heard) => heard?.at);
  const spans = moments.map((_, i) => spanOf(moments, begins, i, take.start));
  const tuning = tuningOf(moments, spans, pitchIn);
  const listening = { start: take.start, onTime, tuning: tuning ?? 0 };
  const notes = moments.map((moment, i) => {
    const heard = (): readonly PitchFrame[] => pitchIn(...spans[i]!);
    const arrived = begins[i] === undefined ? slidInto(moment, heard, listening) : undefined;
    return arrived ?? hearNote(moment, impressions[i]!, heard, listening);
  });
  return { notes, ...(tuning !== undefined && { tuning }) };
}

/** Reading pitch costs more than all else but the network, so it is read where a note's verdict asks for it. */
type HeardPitch = () => readonly PitchFrame[];

interface HeardMoment {
  /** When it began; undefined where nothing did. */
  readonly at: Seconds | undefined;
  /** Absent for dead notes, which have no pitch. */
  readonly impression?: Impression;
}

/** A note that begins so long before its moment cuts the one before; two beginnings are so far apart. */
const EARLY: Seconds = 0.02;
const APART: Seconds = 0.035;

/** What the network hears around each moment; where the next note comes early, once more without it. */
function impressionsOf(
  moments: readonly LeadMoment[],
  { samples, start }: LeadTake,
  network: Network,
): readonly HeardMoment[] {
  const frames = soundFrames();
  frames.advance(samples, samples.length);
  const hear = hearing(moments, start, frames, network);
  const first = moments.map((_, i) => hear(i, dueAfter(moments, i, start)));
  return first.map((heard, i) => {
    const next = first[i + 1]?.at;
    if (next === undefined || next > dueAfter(moments, i, start) - EARLY) return heard;
    const alone = hear(i, next);
    return alone.at !== undefined && alone.at < next - APART ? alone : heard;
  });
}

/** When the note after it is due. */
function dueAfter(moments: readonly LeadMoment[], i: number, start: Seconds): Seconds {
  const { until, seconds } = moments[i]!;
  return start + (moments[i + 1]?.seconds ?? Math.max(until, seconds + 1));
}

/** Asks the network of one moment, told the notes before and after it; nothing later than `until` is shown. */
const hearing =
  (moments: readonly LeadMoment[], start: Seconds, frames: Frames, network: Network) =>
  (i: number, until: Seconds): HeardMoment => {
    const moment = moments[i]!;
    const expected = start + moment.seconds;
    if (pitchesOf(moment).length === 0) return { at: strokeNear(frames, expected) };
    const patch = frames.patch(expected, until);
    const impression = network.hear(patch, {
      due: marksOf(pitchesOf(moment)),
      before: marksOf(pitchesOf(moments[i - 1])),
      next: marksOf(pitchesOf(moments[i + 1] ?? moment)),
    });
    const began = impression.when[FAST.frames]! < 0.5;
    return { at: began ? patch.reference + momentOf(impression.when) : undefined, impression };
  };

const pitchesOf = (moment: LeadMoment | undefined): readonly Midi[] =>
  (moment?.notes ?? []).flatMap(({ pitch }) => (pitch === undefined ? [] : [pitch]));

/** A dead note has no pitch to listen for, only its stroke. */
function strokeNear(frames: Frames, at: Seconds): Seconds | undefined {
  const strokes = strokesBetween(frames, at - REACH, at + REACH);
  return strokes.toSorted((a, b) => Math.abs(a.at - at) - Math.abs(b.at - at))[0]?.at;
}

type Span = readonly [from: Seconds, to: Seconds];

/** From where the note has settled to where the next one begins or it is stopped. */
function spanOf(
  moments: readonly LeadMoment[],
  begins: readonly (Seconds | undefined)[],
  i: number,
  start: Seconds,
): Span {
  const from = begins[i] ?? start + moments[i]!.seconds;
  const next = moments[i + 1] && (begins[i + 1] ?? start + moments[i + 1]!.seconds);
  const to = Math.min(from + moments[i]!.until - moments[i]!.seconds, next ?? Infinity);
  return [from + SETTLES, Math.max(from + SETTLES, to - LEAVES)];
}

/** So many notes, spread over the lead, tell the tuning, each by so long of its middle: a struck string begins sharp. */
const TUNED_BY = 16;
const TUNED_WITHIN: Seconds = 0.035;

/** The median distance of what lies near a written pitch; a wrong note says nothing of the tuning. */
function tuningOf(
  moments: readonly LeadMoment[],
  spans: readonly Span[],
  pitchIn: PitchIn,
): Cents | undefined {
  const steady = moments.flatMap((moment, i) => {
    const note = single(moment);
    if (!note || note.bend || note.vibrato || note.pitch === undefined) return [];
    const [from, to] = spans[i]!;
    const spare = Math.max(0, to - from - TUNED_WITHIN) / 2;
    return [{ written: note.pitch, from: from + spare, to: to - spare }];
  });
  const every = Math.ceil(steady.length / TUNED_BY);
  const offsets = steady.flatMap(({ written, from, to }, i) => {
    if (i % every !== 0) return [];
    const pitches = pitchIn(from, to).map((frame) => frame.pitch);
    if (pitches.length === 0) return [];
    const cents = 100 * (median(pitches) - written);
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

/** A slide is one stroke for two notes, so that the second may be without a beginning: where its pitch arrives, it is there. */
function slidInto(
  moment: LeadMoment,
  heard: HeardPitch,
  listening: Listening,
): NoteHeard | undefined {
  const note = single(moment);
  if (note?.pitch === undefined || note.bend || !GLIDES.includes(note.reach)) return undefined;
  const frames = heard();
  const there = ({ pitch }: PitchFrame): boolean =>
    Math.abs(100 * (pitch - note.pitch!) - listening.tuning) <= NEAR;
  const arrived = frames.filter(there);
  if (arrived.length < ENOUGH || arrived.length < HOLDS * frames.length) return undefined;
  const { bar, entry } = moment;
  return {
    bar,
    entry,
    ...timed(arrived[0]!.at - SETTLES, moment, listening),
    pitch: 'right',
    confidence: 0.8,
  };
}

const GLIDES: readonly PlayedLeadNote['reach'][] = ['slide-up', 'slide-down'];
/** Share of a note's clear frames at which its pitch must be there. */
const HOLDS: Share = 0.6;

function hearNote(
  moment: LeadMoment,
  { at, impression }: HeardMoment,
  heard: HeardPitch,
  listening: Listening,
): NoteHeard {
  const place = { bar: moment.bar, entry: moment.entry };
  if (at === undefined) return { ...place, timing: 'silent', pitch: 'silent', confidence: 0.8 };
  const timing = timed(at, moment, listening);
  const note = single(moment);
  if (!impression) {
    const dead = heard().length < ENOUGH;
    return { ...place, ...timing, pitch: dead ? 'right' : 'wrong', confidence: 0.7 };
  }
  const frames = note?.bend ? heard() : [];
  if (note?.bend && frames.length >= ENOUGH) {
    const tuned = frames.map((frame) => frame.pitch - listening.tuning / 100);
    return {
      ...place,
      ...timing,
      ...bendOf(note.pitch!, note.bend.semitones, tuned),
      confidence: 0.9,
    };
  }
  return { ...place, ...timing, ...pitchOf(moment, impression) };
}

/** Log odds: from the first on the pitches are right, below the second they are not; chosen on validation guitars. */
const RIGHT = 0;
const WRONG = -1;

function pitchOf(
  moment: LeadMoment,
  { struck, facts }: Impression,
): Pick<NoteHeard, 'pitch' | 'heard' | 'confidence'> {
  const due = pitchesOf(moment).map((midi) => midi - LOWEST_PITCH);
  const foreign = loudestBut(struck, due);
  const weakest = Math.min(...due.map((p) => struck[p] ?? 0));
  const odds = Math.min(weakest, -struck[foreign]!, facts.right);
  const confidence = 1 / (1 + Math.exp(-Math.abs(odds)));
  if (odds >= RIGHT) return { pitch: 'right', confidence };
  if (odds > WRONG) return { pitch: 'unsure', confidence: 1 - confidence };
  if (struck[foreign]! > 0) return { pitch: 'wrong', heard: LOWEST_PITCH + foreign, confidence };
  return { pitch: facts.silent > 0 ? 'silent' : 'muted', confidence };
}

/** The pitch that was most likely struck though it is not due. */
function loudestBut(struck: Float64Array, due: readonly number[]): number {
  let best = due.includes(0) ? 1 : 0;
  struck.forEach((odds, p) => {
    if (!due.includes(p) && odds > struck[best]!) best = p;
  });
  return best;
}

function timed(
  begins: Seconds,
  moment: LeadMoment,
  { start, onTime }: Listening,
): Pick<NoteHeard, 'timing' | 'offset'> {
  const offset = 1000 * (begins - start - moment.seconds);
  return { timing: timingOf(offset, onTime), offset };
}

/** A bend stays longest where it arrives: the highest plateau, which half a semitone of spread belongs to. */
function bendOf(
  written: Midi,
  semitones: number,
  tuned: readonly Midi[],
): Pick<NoteHeard, 'pitch' | 'heard' | 'bend'> {
  const top = tuned.toSorted((a, b) => b - a)[Math.floor(0.1 * tuned.length)]!;
  const plateau = median(tuned.filter((pitch) => Math.abs(pitch - top) <= 0.25));
  const bend = 100 * (plateau - written - semitones);
  return { pitch: Math.abs(bend) <= BEND_NEAR ? 'right' : 'wrong', bend };
}
