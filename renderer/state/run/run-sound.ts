// What a run-through sounds: the band, the strummed chords and every part of the lead lines, each a member of its own.
import { bandOf } from '../../../app/core/band/band.ts';
import type { HoldOn } from '../../../app/core/band/hold-on.ts';
import type { ChartShape } from '../../../app/core/model/chart.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { partsIn, tonesInLap } from '../../../app/core/sound/lead/in-lap.ts';
import type { Lap } from '../../../app/core/timeline/model.ts';
import type { LapSound } from '../../audio/player.ts';
import { playedBy } from '../sound/model-sound.ts';

export interface Member {
  readonly id: string;
  readonly name: string;
}

/** Everybody who plays, in the order in which they are shown. */
export function membersOf(unit: Unit): readonly Member[] {
  const parts = [...new Set(partsIn(unit).map(({ part }) => part))];
  return [
    { id: 'drums', name: 'Drums' },
    { id: 'bass', name: 'Bass' },
    { id: 'chords', name: 'Chords' },
    ...parts.map((part) => ({ id: part, name: part })),
    { id: 'click', name: 'Click' },
  ];
}

/** Lap by lap; the same fills every time, so that a place can be learned. */
export function runSound(
  unit: Unit,
  shapes: readonly ChartShape[],
  holdOn: HoldOn | undefined,
): (lap: Lap, fromBar: number) => LapSound {
  const chords = playedBy(unit, shapes, { heard: 'beside', chords: true, leads: 'none' });
  return (lap, fromBar) => {
    const rest = { ...unit, bars: unit.bars.slice(fromBar) };
    const leads = partsIn(rest).map((part) => ({
      part: part.part,
      tones: tonesInLap(rest, lap, part),
    }));
    const band = bandOf(rest, lap, holdOn ? { holdOn } : {});
    return { mutable: true, click: 'all', model: chords(lap, fromBar).model ?? [], leads, band };
  };
}
