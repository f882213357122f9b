// A short lap for trying a voice alone, or all of them together.
import { meterOf } from '../../../app/core/rhythm/meter.ts';
import { chordOf } from '../../../app/core/harmony/read.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { rational, ZERO } from '../../../app/core/base/rational.ts';
import { levelOf, type LevelName } from '../../../app/core/sound/levels.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import type { Lap, LapEvent } from '../../../app/core/timeline/model.ts';
import { STANDARD } from '../../../app/core/harmony/tunings.ts';

/** Two bars of four with a change on the third beat of the first. */
const bars = [['A', 'D'], ['A']].map((chords, i) => ({
  section: 'Try',
  bar: i + 1,
  time: 1,
  meter: meterOf(4, 4),
  feel: { kind: 'straight' },
  tempo: { bpm: 100, beat: 'quarter' },
  length: rational(4),
  pickup: false,
  chords: chords.map((symbol, n) => ({ at: n === 0 ? ZERO : rational(2), chord: chordOf(symbol) })),
})) satisfies Unit['bars'];

/** Played by the model guitar when its level is tried. */
export const tryUnit: Unit = {
  key: 'try',
  ref: { kind: 'section', section: 'Try' },
  name: 'Try',
  bars,
  tempo: { bpm: 100, beat: 'quarter' },
  tuning: STANDARD,
  capo: 0,
  fingerprint: 'try',
};

/** @param level The only level to hear; absent: all of them, as in a climb. */
export function tryLap(level?: LevelName): Lap {
  const lap = buildLap(tryUnit, 100, {
    countIn: level === undefined || level === 'count' ? 'one' : 'none',
    restBars: level === undefined || level === 'rest' ? 1 : 0,
    click: { kind: 'every-beat' },
    subdivision: 2,
    cueBeats: 1,
    markChanges: true,
  });
  if (level === undefined) return lap;
  const heard = (e: LapEvent) => levelOf(e.voice ?? e.kind) === level;
  return { ...lap, events: lap.events.map((e) => ({ ...e, audible: heard(e) })) };
}
