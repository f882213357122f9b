// Small units for the tests of time: bars are written as chord symbols at quarter-note places.
import { barLength, meterOf, usualBeatUnit } from '../../../app/core/rhythm/meter.ts';
import type { Feel, Meter, Tempo } from '../../../app/core/model/chart.ts';
import type { PlayedBar, Unit } from '../../../app/core/model/unit.ts';
import { type Rational, rational } from '../../../app/core/base/rational.ts';
import type { LapOptions } from '../../../app/core/timeline/model.ts';
import { chordOf } from '../../../app/core/harmony/read.ts';
import { STANDARD } from '../../../app/core/harmony/tunings.ts';

const STRAIGHT: Feel = { kind: 'straight' };
export const SWING_8: Feel = { kind: 'swing', value: 8, long: 2, short: 1 };

/** One bar in, every beat, nothing else. */
export const PLAIN: LapOptions = {
  countIn: 'one',
  restBars: 0,
  click: { kind: 'every-beat' },
  subdivision: 1,
  cueBeats: 0,
  markChanges: true,
};

export interface BarSketch {
  readonly chords?: readonly (readonly [symbol: string, at: Rational | number])[];
  readonly meter?: Meter;
  readonly feel?: Feel;
  readonly tempo?: Tempo;
  readonly pickup?: Rational;
  readonly held?: string;
}

const toRational = (at: Rational | number): Rational =>
  typeof at === 'number' ? rational(at) : at;

export function unitOf(sketches: readonly BarSketch[], meter = meterOf(4, 4)): Unit {
  const bars = sketches.map((sketch, i): PlayedBar => {
    const own = sketch.meter ?? meter;
    return {
      section: 'Verse',
      bar: i + 1,
      time: 1,
      meter: own,
      feel: sketch.feel ?? STRAIGHT,
      tempo: sketch.tempo ?? { bpm: 100, beat: usualBeatUnit(meter) },
      length: sketch.pickup ?? barLength(own),
      pickup: sketch.pickup !== undefined,
      ...(sketch.held === undefined ? {} : { held: chordOf(sketch.held) }),
      chords: (sketch.chords ?? []).map(([symbol, at]) => ({
        chord: chordOf(symbol),
        at: toRational(at),
      })),
    };
  });
  return {
    key: 'section:Verse',
    ref: { kind: 'section', section: 'Verse' },
    name: 'Verse',
    bars,
    tempo: bars[0]!.tempo,
    tuning: STANDARD,
    capo: 0,
    fingerprint: 'test',
  };
}

export const emptyBars = (count: number, sketch: BarSketch = {}): BarSketch[] =>
  Array.from({ length: count }, () => sketch);
