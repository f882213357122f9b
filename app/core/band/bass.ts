// The bass of a lap: the chord's bass note where it counts, fifths between, a tone that leads into the next root.
import { type Rational, compare, sub, toNumber } from '../base/rational.ts';
import type { Gain, Midi, PitchClass, Seconds } from '../base/units.ts';
import type { SoundingChord } from '../model/chord.ts';
import type { BassWord } from '../model/band.ts';
import {
  type BandBar,
  type BandBeat,
  type ChordSpan,
  type Moment,
  partOf,
  swungMoment,
} from './bars.ts';
import { secondsInBar } from '../timeline/tempo-map.ts';
import { chance } from './dice.ts';
import { gainOf, levelOfBar } from './dynamics.ts';
import { BASS_HIGH, BASS_LOW, type BassNote } from './model.ts';

/** A note before its end and its register are known. */
interface Step {
  readonly bar: BandBar;
  readonly at: Rational;
  readonly moment: Moment;
  /** As it sounds; an approach is told by its distance to the root it leads to. */
  readonly pc: PitchClass;
  readonly gain: Gain;
  /** Semitones from the next chord's bass note. */
  readonly approach?: number;
}

/** Roots lie from E1 to D♯2; other tones up to an octave above. */
const ROOT_OCTAVE = 12;
/** A string is lifted this long before the next note. */
const GAP: Seconds = 0.02;
const GAINS = { root: 0.9, other: 0.75, approach: 0.65 } as const;

/** The bass of a lap, one note at a time, in order of time. @param seed the same seed plays the same notes */
export function bassNotes(bars: readonly BandBar[], seed: number): readonly BassNote[] {
  const steps = bars.flatMap((bar, i) => stepsOf(bar, bars[i + 1], seed));
  const stops = stopsOf(bars);
  let last: Midi | undefined;
  return steps.map((step, i): BassNote => {
    const next = steps[i + 1]?.moment.seconds ?? Infinity;
    const stop = stops.find((at) => at > step.moment.seconds) ?? Infinity;
    const end = Math.max(step.moment.seconds, Math.min(next - GAP, stop));
    const midi = registerOf(step, last);
    last = midi;
    const level = gainOf(levelOfBar(step.bar, bars));
    return { ...step.moment, until: end, midi, gain: step.gain * level };
  });
}

/** Where the bass falls silent: at N.C., where it is off, and at the end of the last bar. */
function stopsOf(bars: readonly BandBar[]): readonly Seconds[] {
  return bars.flatMap((bar, i) => {
    const silences = bar.spans.filter((span) => span.chord === null || isSilent(bar));
    const ends = bars[i + 1] ? [] : [endSeconds(bar)];
    return [...silences.map((span) => swungMoment(bar, span.from).seconds), ...ends];
  });
}

const isSilent = ({ words }: BandBar): boolean => words.bass === 'off' || words.level === 'off';

const endSeconds = ({ lapBar }: BandBar): Seconds => secondsInBar(lapBar, lapBar.length);

function stepsOf(bar: BandBar, next: BandBar | undefined, seed: number): readonly Step[] {
  const word = bar.words.bass ?? 'fifths';
  if (isSilent(bar) || bar.played.pickup) return [];
  return bar.spans.flatMap((span, i) => {
    if (!span.chord) return [];
    const target = (bar.spans[i + 1] ?? next?.spans[0])?.chord ?? null;
    return spanSteps({ bar, span, chord: span.chord, target, word, seed });
  });
}

interface SpanPlan {
  readonly bar: BandBar;
  readonly span: ChordSpan;
  readonly chord: SoundingChord;
  /** The chord that follows; null where nothing does. */
  readonly target: SoundingChord | null;
  readonly word: BassWord;
  readonly seed: number;
}

function spanSteps(plan: SpanPlan): readonly Step[] {
  const { bar, span } = plan;
  const inside = bar.beats.filter(
    ({ at }) => compare(at, span.from) > 0 && compare(at, span.to) < 0,
  );
  const first = stepAt(plan, span.from, plan.chord.bassPc, GAINS.root);
  const rest = plan.word === 'walking' ? walking(plan, inside) : pattern(plan, inside);
  return [first, ...rest];
}

const stepAt = (
  { bar }: SpanPlan,
  at: Rational,
  pc: PitchClass,
  gain: Gain,
  approach?: number,
): Step => ({
  bar,
  at,
  moment: swungMoment(bar, at),
  pc,
  gain,
  ...(approach === undefined ? {} : { approach }),
});

/** The fifth of the chord (whatever its size), or its root where it has none. */
const fifthOf = (chord: SoundingChord): PitchClass =>
  chord.tones.find(({ interval }) => interval.startsWith('5'))?.pitchClass ?? chord.rootPc;

/** Roots and fifths on the stressed beats, and a tone into the next root half a beat before it. */
function pattern(plan: SpanPlan, inside: readonly BandBeat[]): readonly Step[] {
  const { bar, span, chord, target, word } = plan;
  const stressed = inside.filter((beat) => beat.stress !== 'beat' || bar.played.meter.unit >= 8);
  const played = bar.words.level === 'loud' ? inside : stressed;
  const notes = played.map((beat, i) => {
    const fifth = word === 'fifths' && i % 2 === 0;
    const pc = fifth ? fifthOf(chord) : chord.bassPc;
    return stepAt(plan, beat.at, pc, fifth ? GAINS.other : GAINS.root);
  });
  if (word === 'roots' || !target || target.bassPc === chord.bassPc) return notes;
  const last = bar.beats.findLast(({ at }) => compare(at, span.to) < 0);
  if (!last || compare(last.at, span.from) < 0) return notes;
  const at = leadingPlace(bar, last);
  const fits = compare(at, span.from) > 0 && compare(at, span.to) < 0;
  const room = fits && toNumber(sub(span.to, span.from)) >= toNumber(last.length);
  return room ? [...notes, leading(plan, at, target)] : notes;
}

/** Half a beat before the end; the last eighth of a dotted beat. */
const leadingPlace = (bar: BandBar, beat: BandBeat): Rational => {
  const units = Math.round((beat.length.n * bar.played.meter.unit) / (beat.length.d * 4));
  const parts = bar.played.meter.unit >= 8 ? Math.max(2, units) : 2;
  return partOf(beat, parts - 1, parts);
};

/** From below or above, by a half or a whole step (common practice, no source). */
const WAYS = [-1, -1, 1, -2, 2] as const;

function leading(plan: SpanPlan, at: Rational, target: SoundingChord): Step {
  const way = WAYS[Math.floor(chance(plan.seed, plan.bar.index, at.n, at.d) * WAYS.length)]!;
  return stepAt(plan, at, (target.bassPc + way + 12) % 12, GAINS.approach, way);
}

/** A note on every beat, up the chord; the last one, where it is not stressed, leads into the next root. */
function walking(plan: SpanPlan, inside: readonly BandBeat[]): readonly Step[] {
  const { chord, target } = plan;
  const tones = [...new Set(chord.tones.map((tone) => tone.pitchClass))];
  return inside.map((beat, i) => {
    const leads = i === inside.length - 1 && beat.stress === 'beat';
    if (leads && target && target.bassPc !== chord.bassPc) return leading(plan, beat.at, target);
    return stepAt(plan, beat.at, tones[(i + 1) % tones.length]!, GAINS.other);
  });
}

/** A root in the low octave; any other tone where it lies nearest to the note before it. */
function registerOf(step: Step, before: Midi | undefined): Midi {
  if (step.approach !== undefined) {
    const root = lowest((step.pc - step.approach + 12) % 12);
    const here = root + step.approach;
    return here < BASS_LOW ? here + ROOT_OCTAVE : here;
  }
  const low = lowest(step.pc);
  if (step.gain === GAINS.root || before === undefined) return low;
  const high = low + ROOT_OCTAVE;
  if (high > BASS_HIGH) return low;
  return Math.abs(high - before) < Math.abs(low - before) ? high : low;
}

const lowest = (pc: PitchClass): Midi => BASS_LOW + ((pc - BASS_LOW + 120) % 12);
