// The bars of a lap as the band reads them: where a beat sounds, which section begins or ends, what is stopped.
import { type Rational, add, compare, rational, sub, toNumber, ZERO } from '../base/rational.ts';
import type { Seconds } from '../base/units.ts';
import { liftOf, sounding } from '../fretboard/capo.ts';
import type { Chord, SoundingChord } from '../model/chord.ts';
import type { BandWords } from '../model/band.ts';
import type { PlayedBar, Unit } from '../model/unit.ts';
import { barLength, beatsOf, type MeterBeat } from '../rhythm/meter.ts';
import { swung } from '../rhythm/swing.ts';
import { secondsInBar } from '../timeline/tempo-map.ts';
import type { Lap, LapBar } from '../timeline/model.ts';

/** A moment of the lap, in quarter notes and in seconds from its start. */
export interface Moment {
  readonly at: Rational;
  readonly seconds: Seconds;
}

export interface BandBeat extends MeterBeat {
  /** In seconds, at this tempo. */
  readonly lasts: Seconds;
}

/** From here until the next one this chord sounds, named by the pitches that the capo gives it; null is silence: the band stops. */
export interface ChordSpan {
  /** Place in the bar's meter. */
  readonly from: Rational;
  readonly to: Rational;
  readonly chord: SoundingChord | null;
  /** Does it begin here, or is it held over from the bar before? */
  readonly begins: boolean;
}

export interface BandBar {
  /** Index into the unit's bars, and number of the section as it is played in the unit, both from 0. */
  readonly index: number;
  readonly run: number;
  readonly lapBar: LapBar;
  readonly played: PlayedBar;
  readonly words: BandWords;
  /** Beats that begin in it. */
  readonly beats: readonly BandBeat[];
  readonly spans: readonly ChordSpan[];
  /** A new section begins with it; another one begins after it. */
  readonly opens: boolean;
  readonly closes: boolean;
  /** How many bars its section has here. */
  readonly runLength: number;
}

/** The unit's bars in a lap. A unit that plays on without rest bars closes into itself. */
export function bandBars(unit: Unit, lap: Lap): readonly BandBar[] {
  const runs = runsOf(unit.bars);
  const lift = liftOf(unit);
  const playsOn = lap.bars.at(-1)?.part !== 'rest' && unit.ref.kind !== 'form';
  let held: SoundingChord | null = null;
  return lap.bars.flatMap((lapBar): BandBar[] => {
    const index = lapBar.unitBar;
    const played = index === undefined ? undefined : unit.bars[index];
    if (index === undefined || !played) return [];
    const run = runs[index]!;
    const spans = spansOf(played, index === 0 ? heardChord(played.held, lift) : held, lift);
    held = spans.at(-1)?.chord ?? null;
    return [
      {
        index,
        run,
        lapBar,
        played,
        words: played.band ?? {},
        beats: beatsIn(played, lapBar),
        spans,
        opens: runs[index - 1] !== run,
        closes: index + 1 < runs.length ? runs[index + 1] !== run : playsOn,
        runLength: runs.filter((other) => other === run).length,
      },
    ];
  });
}

/** Bars of one section in one go share a number. */
function runsOf(bars: readonly PlayedBar[]): readonly number[] {
  let run = -1;
  return bars.map((bar, i) => {
    const before = bars[i - 1];
    if (before?.section !== bar.section || before.time !== bar.time) run++;
    return run;
  });
}

/** What a pickup leaves out at the front of its meter. */
const offsetOf = ({ pickup, meter, length }: PlayedBar): Rational =>
  pickup ? sub(barLength(meter), length) : ZERO;

/** Where the bar ends in its meter, in quarter notes: its length, and what a pickup leaves out before it. */
const endOfBar = (played: PlayedBar): Rational => add(offsetOf(played), played.length);

function beatsIn(played: PlayedBar, { quarter }: LapBar): readonly BandBeat[] {
  const from = offsetOf(played);
  return beatsOf(played.meter)
    .filter(({ at }) => compare(at, from) >= 0 && compare(at, endOfBar(played)) < 0)
    .map((beat) => ({ ...beat, lasts: toNumber(beat.length) * quarter }));
}

/** Where something written at a place in the meter sounds, with the bar's swing. */
export function swungMoment({ lapBar, played }: BandBar, atMeter: Rational): Moment {
  const { feel, meter } = played;
  const swings = feel.kind === 'swing' && meter.unit < feel.value;
  return momentIn(lapBar, played, swings ? swung(atMeter, feel) : atMeter);
}

/** The same without swing: triplets are written out. */
export const evenMoment = ({ lapBar, played }: BandBar, atMeter: Rational): Moment =>
  momentIn(lapBar, played, atMeter);

function momentIn(lapBar: LapBar, played: PlayedBar, atMeter: Rational): Moment {
  const inBar = sub(atMeter, offsetOf(played));
  return { at: add(lapBar.at, inBar), seconds: secondsInBar(lapBar, inBar) };
}

/** Place of one of `parts` equal parts of a beat. */
export const partOf = (beat: MeterBeat, part: number, parts: number): Rational =>
  add(beat.at, rational(beat.length.n * part, beat.length.d * parts));

/** As it sounds; silence where there is none to sound. */
const heardChord = (chord: Chord | undefined, lift: number): SoundingChord | null =>
  chord?.kind === 'chord' ? sounding(chord, lift) : null;

function spansOf(
  played: PlayedBar,
  held: SoundingChord | null,
  lift: number,
): readonly ChordSpan[] {
  const offset = offsetOf(played);
  const changes = played.chords.map(({ at, chord }) => ({
    from: add(offset, at),
    chord: heardChord(chord, lift),
    begins: true,
  }));
  const first = changes[0] && compare(changes[0].from, offset) === 0;
  const all = first ? changes : [{ from: offset, chord: held, begins: false }, ...changes];
  return all.map((span, i) => ({ ...span, to: all[i + 1]?.from ?? endOfBar(played) }));
}

/** The span of a bar that a place in its meter lies in. */
export const spanAt = (bar: BandBar, atMeter: Rational): ChordSpan =>
  bar.spans.findLast((span) => compare(span.from, atMeter) <= 0) ?? bar.spans[0]!;
