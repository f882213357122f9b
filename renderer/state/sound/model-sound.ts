// What the model guitar plays of a unit: the strummed chords of its easiest shapes, and its lead lines.
import { bandOf } from '../../../app/core/band/band.ts';
import type { ChartShape } from '../../../app/core/model/chart.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { unitPath } from '../../../app/core/units/hands/hands.ts';
import { partsIn, tonesInLap } from '../../../app/core/sound/lead/in-lap.ts';
import type { LeadPartName } from '../../../app/core/timeline/lead.ts';
import type { LeadTone } from '../../../app/core/sound/lead/tones.ts';
import { strumNotes } from '../../../app/core/sound/strum-notes.ts';
import { voicingsOf } from '../../../app/core/units/hands/hands.ts';
import type { Lap } from '../../../app/core/timeline/model.ts';
import type { Settings } from '../../../app/services/contract/contract.ts';
import type { LapSound } from '../../audio/player.ts';

export type ModelChoice = Settings['model'];

/** What a climb hears besides its clicks, lap by lap: the model guitar as chosen, drums and bass with `band`. */
export function modelSound(
  unit: Unit,
  shapes: readonly ChartShape[],
  choice: ModelChoice,
  band = false,
): (lap: Lap, fromBar: number) => LapSound {
  const playing = choice.heard === 'off' ? undefined : playedBy(unit, shapes, choice);
  return (lap, fromBar) => ({
    ...(playing && { click: choice.heard === 'alone' ? 'count-in' : 'all' }),
    ...playing?.(lap, fromBar),
    ...(band && { band: bandOf({ ...unit, bars: unit.bars.slice(fromBar) }, lap) }),
  });
}

/** The shapes are looked for once, at the unit's own tempo, so that every rung shows and sounds the same ones. */
export function playedBy(unit: Unit, shapes: readonly ChartShape[], choice: ModelChoice) {
  const { steps } = unitPath(unit, shapes);
  return (lap: Lap, fromBar: number): Pick<LapSound, 'model' | 'lead'> => {
    const bars = unit.bars.slice(fromBar);
    const first = steps.findIndex((step) => step.step.bar >= fromBar);
    const from = first < 0 ? steps.length : first;
    const heldOver = fromBar > 0 && lap.opening !== undefined ? 1 : 0;
    const voicings = voicingsOf(steps.slice(Math.max(0, from - heldOver)));
    return {
      ...(choice.chords && { model: strumNotes(lap, { ...unit, bars }, voicings) }),
      lead: leadPartsOf({ ...unit, bars }, lap, choice),
    };
  };
}

function leadPartsOf(unit: Unit, lap: Lap, { leads }: ModelChoice): readonly LeadTone[] {
  return partsIn(unit)
    .filter(
      (part) => leads === 'all' || (leads !== 'none' && isOwn(unit, part) === (leads === 'own')),
    )
    .flatMap((part) => tonesInLap(unit, lap, part));
}

const isOwn = ({ lead }: Unit, part: LeadPartName): boolean =>
  lead?.lead === part.lead && lead.part === part.part;
