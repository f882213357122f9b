// How much time the music gives for each change: from the last stroke of the old chord to the first of the new.
import type { ChartShape } from '../../model/chart.ts';
import { type BarStroke, strokesInBar } from '../../rhythm/strum.ts';
import { swung } from '../../rhythm/swing.ts';
import type { Unit } from '../../model/unit.ts';
import type { ChordStep } from '../../fretboard/chord-step.ts';
import { toAscii } from '../../harmony/notes.ts';
import { type TimedBar, timeUnit } from '../../timeline/timed-bars.ts';
import { secondsInBar } from '../../timeline/tempo-map.ts';
import type { Bpm, Seconds } from '../../base/units.ts';

/**
 * The unit's chords in order with the time before each, at a tempo. Strokes on muted strings count as
 * time, since the hand is free while they sound. Where no stroke of the old chord is left, its own
 * beginning counts; where none of the new one comes, the moment it is written. `shapes` are the
 * chart's own, used wherever a chord has no pin of its own.
 */
export function chordSteps(
  unit: Unit,
  bpm: Bpm,
  shapes: readonly ChartShape[] = [],
): readonly ChordStep[] {
  const bars = timeUnit(unit, bpm);
  const strokes = bars.flatMap(strokeTimes);
  const changes: readonly Moment[] = bars.flatMap(changeTimes);
  const held = unit.bars[0]?.held;
  const startsHeld = held !== undefined && changes[0]?.at !== 0;
  const all: readonly Moment[] = startsHeld
    ? [{ chord: held, bar: 0, at: 0 }, ...changes]
    : changes;
  return all.map((step, i) => {
    const before = all[i - 1];
    const gap = before && gapBetween(before.at, step.at, all[i + 1]?.at, strokes);
    const pin =
      step.pin ??
      shapes.find((shape) => toAscii(shape.symbol) === toAscii(step.chord.symbol))?.frets;
    const section = unit.bars[step.bar]!.section;
    return { ...step, section, ...(pin && { pin }), ...(gap !== undefined && { gap }) };
  });
}

type Moment = Omit<ChordStep, 'gap'>;

const secondsAt = (bar: TimedBar, at: BarStroke['swungAt']): Seconds => secondsInBar(bar, at);

/** Strokes that need the chord. */
const strokeTimes = (bar: TimedBar): Seconds[] =>
  strokesInBar(bar.played!)
    .filter((stroke) => stroke.cell.kind === 'stroke' && !stroke.cell.muted)
    .map((stroke) => secondsAt(bar, stroke.swungAt));

const changeTimes = (bar: TimedBar): Moment[] =>
  bar.played!.chords.map(({ chord, at, shape }) => ({
    chord,
    ...(shape ? { pin: shape } : {}),
    bar: bar.unitBar!,
    inBar: at,
    at: secondsAt(bar, swung(at, bar.feel, bar.offset)),
  }));

/** Two strokes nearer than this are the same moment: far below any note value at 400 bpm. */
const SAME: Seconds = 1e-6;

function gapBetween(
  oldStart: Seconds,
  newStart: Seconds,
  newEnd: Seconds | undefined,
  strokes: readonly Seconds[],
): Seconds {
  const last = strokes.findLast((at) => at < newStart - SAME && at >= oldStart - SAME) ?? oldStart;
  const first = strokes.find((at) => at >= newStart - SAME);
  const inTime = first !== undefined && (newEnd === undefined || first < newEnd - SAME);
  return (inTime ? first : newStart) - last;
}
