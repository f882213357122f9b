// Strokes and shapes → what each string does: when it is plucked, how loud, and when it is stopped again.
import { strokesInBar, type BarStroke } from '../rhythm/strum.ts';
import type { StrokeTouch } from '../model/chart.ts';
import type { Unit } from '../model/unit.ts';
import type { Voicing } from '../units/hands/hands.ts';
import { add, compare, type Rational } from '../base/rational.ts';
import { secondsInBar } from '../timeline/tempo-map.ts';
import { lastAtOrBefore } from '../timeline/search.ts';
import type { Lap } from '../timeline/model.ts';
import type { Gain, Midi, Seconds, Semitones } from '../base/units.ts';
import { DAMPED_RING, MUTED_RING, RING } from './pluck.ts';

/** One string plucked once. Times are from the start of the lap. */
export interface StringNote {
  readonly seconds: Seconds;
  /** Where the string is stopped: struck again, released, or rung out. */
  readonly until: Seconds;
  readonly midi: Midi;
  readonly gain: Gain;
  readonly muted: boolean;
  /** Under the palm: it keeps its pitch, dark and short. */
  readonly damped?: true;
  /** The hand slides into it along the string: it begins lower and glides up (semitones; lengths of glides in guitar.ts). */
  readonly slide?: Semitones;
}

/**
 * From the first string to the last of a stroke. One comping take has a median of 11.3 ms over three or
 * more strings, 95 % below 21.4 ms (computed from a GuitarSet annotation); accents are quicker (ours).
 */
const SPREAD: Readonly<Record<'plain' | 'accent', Seconds>> = { plain: 0.0113, accent: 0.008 };
/** Loudness of a stroke, and how many strings an up-stroke reaches (common practice, no source). */
const STROKE_GAIN = { plain: 0.6, accent: 1 } as const;
const UP_STROKE_STRINGS = 4;
/** The last chord rings on into what follows for at most this long. */
const LAST_RING: Seconds = 2;

/** A short stroke is let go at once; one damped by the palm dies away by itself (lengths are ours). */
const TOUCH_RING: Readonly<Record<StrokeTouch, Seconds>> = { short: 0.14, damped: DAMPED_RING };
/** A slide into a chord comes from so far below (common practice: a fret or two). */
const SLIDE_FROM: Semitones = 2;

interface Strike {
  readonly stroke: BarStroke['cell'];
  readonly seconds: Seconds;
  readonly voicing: Voicing;
  /** Its strings in the order in which the stroke meets them. */
  readonly met: readonly number[];
  /** The first stroke of a chord into which the hand slides. */
  readonly slides: boolean;
}

/**
 * The model guitar of one lap, by time. `voicings` stand in the order of the unit's chords: the one that
 * sounds at its start (if {@link Lap.opening} is there), then one per change; see `chordSteps`.
 * @throws RangeError when there are not as many voicings as chords.
 */
export function strumNotes(lap: Lap, unit: Unit, voicings: readonly Voicing[]): StringNote[] {
  const chords = lap.changes.length + (lap.opening === undefined ? 0 : 1);
  if (voicings.length !== chords) {
    throw new RangeError(`strumNotes: ${voicings.length} voicings for ${chords} chords`);
  }
  const strikes = strikesOf(lap, unit, voicings);
  const strings = [0, 1, 2, 3, 4, 5].flatMap((i) => stringPart(strikes, i, lap));
  return strings.toSorted((a, b) => a.seconds - b.seconds);
}

function strikesOf(lap: Lap, unit: Unit, voicings: readonly Voicing[]): readonly Strike[] {
  const opening = lap.opening === undefined ? 0 : 1;
  const voicingAt = (at: Rational): Voicing =>
    voicings[lastAtOrBefore(lap.changes, (change) => compare(change.at, at)) + opening] ?? [];
  return lap.bars.flatMap((bar) => {
    const played = bar.unitBar === undefined ? undefined : unit.bars[bar.unitBar];
    const slid = new Set(played?.chords.filter(({ slide }) => slide));
    return (played ? strokesInBar(played) : []).map(({ at, swungAt, cell }): Strike => {
      const seconds = secondsInBar(bar, swungAt);
      const chord = played!.chords.findLast((one) => compare(one.at, at) <= 0);
      const slides = cell.kind === 'stroke' && chord !== undefined && slid.delete(chord);
      const voicing = voicingAt(add(bar.at, swungAt));
      const met = cell.kind === 'stroke' ? order(cell, voicing) : [];
      return { stroke: cell, seconds, voicing, met, slides };
    });
  });
}

/** What one string (0 is string 6) does in all strikes. */
function stringPart(strikes: readonly Strike[], string: number, lap: Lap): readonly StringNote[] {
  const notes: StringNote[] = [];
  const stop = (at: Seconds) => {
    const last = notes.at(-1);
    if (last && last.until > at) notes[notes.length - 1] = { ...last, until: at };
  };
  let held: Midi | null | undefined;
  for (const { stroke, seconds, voicing, met, slides } of strikes) {
    const midi = voicing[string] ?? null;
    const at = seconds + lag(stroke, met, string);
    const struck = stroke.kind === 'stroke' && midi !== null && met.includes(string);
    // The hand leaves or damps a string that changes its note; one that is held rings on.
    if (struck || midi !== held || damps(stroke)) stop(at);
    held = midi;
    if (struck) notes.push({ ...noteOf(stroke, at, midi), ...(slides && { slide: SLIDE_FROM }) });
  }
  stop(Math.min(lap.end, lap.unitEnd + LAST_RING));
  return notes;
}

/** A rest, or a stroke over strings that the hand mutes, silences them all. */
const damps = (cell: BarStroke['cell']): boolean => cell.kind === 'rest' || cell.muted;

type Stroke = Extract<BarStroke['cell'], { kind: 'stroke' }>;

/** Strings of the voicing in the order in which the stroke meets them. */
function order({ direction }: Stroke, voicing: Voicing): readonly number[] {
  const sounding = [...voicing.keys()].filter((string) => voicing[string] !== null);
  return direction === 'down' ? sounding : sounding.reverse().slice(0, UP_STROKE_STRINGS);
}

/** How long after the stroke begins it meets the string: down from string 6, up from string 1. */
function lag(stroke: BarStroke['cell'], met: readonly number[], string: number): Seconds {
  if (stroke.kind === 'rest') return 0;
  const spread = stroke.accent ? SPREAD.accent : SPREAD.plain;
  return (spread * Math.max(0, met.indexOf(string))) / Math.max(1, met.length - 1);
}

function noteOf(stroke: Stroke, seconds: Seconds, midi: Midi): StringNote {
  const gain = stroke.accent ? STROKE_GAIN.accent : STROKE_GAIN.plain;
  const ring = stroke.muted ? MUTED_RING : stroke.touch ? TOUCH_RING[stroke.touch] : RING;
  const until = seconds + ring;
  const damped = stroke.touch === 'damped' && !stroke.muted;
  return { seconds, until, midi, gain, muted: stroke.muted, ...(damped && { damped }) };
}
