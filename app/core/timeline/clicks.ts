// The bars, beats and subdivisions of one bar, and which of them a click pattern lets sound.
import { beatsOf, unitLength, type MeterBeat } from '../rhythm/meter.ts';
import { swung } from '../rhythm/swing.ts';
import { type Rational, add, compare, div, mul, rational, toNumber } from '../base/rational.ts';
import type { Seconds } from '../base/units.ts';
import { type TimedBar, inLap } from './timed-bars.ts';
import type { ClickPattern, LapEvent, LapOptions } from './model.ts';

/** An event that has no seconds yet. */
export type Untimed = Omit<LapEvent, 'seconds'>;

/** Beats longer than this cannot be kept without subdividing: 33 bpm (Repp 2006, rate limits). */
const LONGEST_BEAT: Seconds = 60 / 33;

/** The beats of the bar's meter that begin inside it, with their number in the bar. */
export function beatsInBar(bar: TimedBar): readonly (MeterBeat & { readonly number: number })[] {
  return beatsOf(bar.meter)
    .map((beat, i) => ({ ...beat, number: i + 1 }))
    .filter(({ at }) => isIn(bar, at));
}

/** What a bar is told besides its own place. */
export interface BarRole {
  /** The pattern keeps it silent. */
  readonly gap: boolean;
  /** The unit enters after it. */
  readonly entrance: boolean;
}

/** All clicks of one bar in order, silent ones included. */
export function clicksOf(
  bar: TimedBar,
  index: number,
  options: LapOptions,
  { gap, entrance }: BarRole,
): readonly Untimed[] {
  if (bar.part === 'rest') return restClicks(bar, index, options.rest ?? 'soft');
  const pattern: ClickPattern = bar.part === 'unit' ? options.click : { kind: 'every-beat' };
  const base = { part: bar.part, bar: index } as const;
  const beats = beatsInBar(bar).map((beat, i, all): Untimed => {
    const kind = beat.stress === 'bar' ? 'bar' : 'beat';
    const audible = !gap && beatSounds(pattern, beat.number) && (!bar.thin || isCounted(bar, beat));
    const voice =
      bar.part === 'count-in' ? countVoice(entrance && i === all.length - 1) : accentOf(beat);
    return { ...base, kind, at: inLap(bar, beat.at), beat: beat.number, audible, ...voice };
  });
  const between = betweenBeats(bar, pattern, options.subdivision);
  const others = between.map((click): Untimed => ({
    ...base,
    kind: 'subdivision',
    audible: !gap && !bar.thin,
    ...click,
  }));
  return [...beats, ...others];
}

type OwnVoice = Pick<Untimed, 'voice'>;

/** The last beat before the unit announces the entrance. */
const countVoice = (last: boolean): OwnVoice => ({ voice: last ? 'entrance' : 'count' });

/** The secondary stress of the meter is told, too. */
const accentOf = (beat: MeterBeat): OwnVoice => (beat.stress === 'group' ? { voice: 'group' } : {});

/** Rest bars tick softly on their beats or not at all: nobody may take them for the count-in. */
function restClicks(
  bar: TimedBar,
  index: number,
  rest: NonNullable<LapOptions['rest']>,
): readonly Untimed[] {
  return beatsInBar(bar).map((beat): Untimed => ({
    part: 'rest',
    bar: index,
    kind: beat.stress === 'bar' ? 'bar' : 'beat',
    at: inLap(bar, beat.at),
    beat: beat.number,
    audible: rest === 'soft',
    voice: 'rest',
  }));
}

function beatSounds(pattern: ClickPattern, beat: number): boolean {
  switch (pattern.kind) {
    case 'every-beat':
    case 'gaps':
    case 'growing-gaps':
      return true;
    case 'two-and-four':
      return beat % 2 === 0;
    case 'bar-starts':
      return beat === 1;
    case 'off-beats':
    case 'displaced':
      return false;
  }
}

/** Half as dense: every second beat, or where the beats are odd the starts of groups. */
function isCounted(bar: TimedBar, beat: MeterBeat & { readonly number: number }): boolean {
  const even = beatsOf(bar.meter).length % 2 === 0;
  return even ? beat.number % 2 === 1 : beat.stress !== 'beat';
}

type Between = Pick<Untimed, 'at' | 'beat' | 'voice'>;

function betweenBeats(
  bar: TimedBar,
  pattern: ClickPattern,
  subdivision: LapOptions['subdivision'],
): readonly Between[] {
  switch (pattern.kind) {
    case 'every-beat':
    case 'gaps':
    case 'growing-gaps':
      return subdivisions(bar, needed(bar, subdivision));
    case 'two-and-four':
    case 'bar-starts':
      return [];
    case 'off-beats':
      return offBeats(bar);
    case 'displaced':
      return displaced(bar, pattern.by);
  }
}

function needed(bar: TimedBar, wished: LapOptions['subdivision']): LapOptions['subdivision'] {
  const longest = Math.max(...beatsOf(bar.meter).map((beat) => toNumber(beat.length)));
  const tooSlow = longest * bar.quarter > LONGEST_BEAT + 1e-9;
  return tooSlow && wished === 1 ? 2 : wished;
}

/** Into how many parts a beat is split; see {@link LapOptions.subdivision}. */
function partsOf(bar: TimedBar, beat: MeterBeat, subdivision: LapOptions['subdivision']): number {
  if (subdivision === 1 || bar.meter.unit < 8) return subdivision;
  const units = toNumber(div(beat.length, unitLength(bar.meter)));
  return subdivision === 4 ? 2 * units : units;
}

/** Thirds stay even in a swung bar; halves and quarters swing. */
function subdivisions(bar: TimedBar, subdivision: LapOptions['subdivision']): readonly Between[] {
  return beatsOf(bar.meter).flatMap((beat, i) => {
    const parts = partsOf(bar, beat, subdivision);
    const places = Array.from({ length: parts - 1 }, (_, k) => partOfBeat(beat, k + 1, parts));
    const at = (place: Rational) => (parts === 3 ? inLap(bar, place) : soundsAt(bar, place));
    return places.filter((p) => isIn(bar, p)).map((p) => ({ at: at(p), beat: i + 1 }));
  });
}

/** The last part of every beat: the "and", or the third eighth in compound time. */
function offBeats(bar: TimedBar): readonly Between[] {
  return beatsOf(bar.meter).flatMap((beat, i) => {
    const parts = Math.max(2, partsOf(bar, beat, 2));
    const place = partOfBeat(beat, parts - 1, parts);
    return isIn(bar, place) ? [{ at: soundsAt(bar, place), beat: i + 1, voice: 'beat' }] : [];
  });
}

const partOfBeat = (beat: MeterBeat, part: number, parts: number): Rational =>
  add(beat.at, mul(beat.length, rational(part, parts)));

function displaced(bar: TimedBar, by: Rational): readonly Between[] {
  return beatsInBar(bar).map((beat) => {
    const voice = beat.stress;
    return { at: add(inLap(bar, beat.at), by), beat: beat.number, voice };
  });
}

/** A pickup bar begins, and a count-in before it ends, inside its meter. */
function isIn(bar: TimedBar, atMeter: Rational): boolean {
  return compare(atMeter, bar.offset) >= 0 && compare(atMeter, add(bar.offset, bar.length)) < 0;
}

/**
 * Where a moment written at a place in the meter sounds, in quarter notes from the start of the lap.
 * Swing needs beats made of whole pairs: eighths do not swing in meters counted in eighths.
 */
export function soundsAt(bar: TimedBar, atMeter: Rational): Rational {
  const { feel, meter } = bar;
  const swings = feel.kind === 'swing' && meter.unit < feel.value;
  return inLap(bar, swings ? swung(atMeter, feel) : atMeter);
}

/** Bars of the unit that a gap pattern keeps silent; a pickup is never one of them. */
export function gapBars(bars: readonly TimedBar[], pattern: ClickPattern): ReadonlySet<number> {
  const whole = bars.flatMap((bar, i) => (bar.part === 'unit' && !bar.played?.pickup ? [i] : []));
  switch (pattern.kind) {
    case 'gaps':
      return new Set(whole.filter((_, i) => (i + 1) % pattern.every === 0));
    case 'growing-gaps':
      return new Set(growingGaps(whole, pattern.sounding, pattern.longest));
    default:
      return new Set();
  }
}

function growingGaps(bars: readonly number[], sounding: number, longest: number): number[] {
  const silent: number[] = [];
  let gap = 1;
  for (let i = sounding; i < bars.length; i += gap + sounding, gap = Math.min(gap + 1, longest)) {
    silent.push(...bars.slice(i, i + gap));
  }
  return silent;
}
