// A climb ready to sound: its shapes found, its model guitar chosen, its first strings made. This, and all that a climb
// is carried out with, comes with the first sound and not with the first screen.
import type { Result } from '../../../app/core/base/result.ts';
import { shapesHeld } from '../../../app/core/units/hands/fewest-barres.ts';
import { unitPath } from '../../../app/core/units/hands/hands.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import type { Settings } from '../../../app/services/contract/contract.ts';
import type { Player } from '../../audio/player.ts';
import { Climb } from '../climb/climb.svelte.ts';
import { type ClimbSetup, type Surroundings, windowSurroundings } from '../climb/surroundings.ts';
import { modelSound } from '../sound/model-sound.ts';

export { likeliest } from '../../../app/core/ladder/partner.ts';
export { detourRules, detourUnit } from './detour.ts';

type Around = Pick<Surroundings, 'player' | 'services' | 'recorder'>;
type Heard = Pick<Settings, 'barres' | 'model' | 'bandAlong'>;

/** Fails as `Climb.create` does. */
export async function openClimb(
  setup: ClimbSetup,
  chart: Chart,
  { barres, model, bandAlong }: Heard,
  around: Around,
): Promise<Result<Climb>> {
  const shapes = shapesHeld(chart, barres);
  const whole: ClimbSetup = {
    ...setup,
    hands: unitPath(setup.unit, shapes),
    sound: modelSound(setup.unit, shapes, model, bandAlong),
  };
  await prepareModel(around.player, whole);
  return Climb.create(whole, windowSurroundings(around));
}

/** Makes the strings of a climb's first lap before it begins, so that the count-in is not held up. */
async function prepareModel(
  player: Player,
  { unit, rules, options, sound }: ClimbSetup,
): Promise<void> {
  const first = sound?.(buildLap(unit, rules.start, options), 0);
  await Promise.all([
    first?.model && player.prepare(first.model),
    first?.band && player.prepareBand(),
  ]);
}
