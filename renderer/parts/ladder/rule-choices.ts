// The closed choices of a ladder's rules, as menus of the set-up and of what a teacher sets.
import type { LadderRules, Route, Step } from '../../../app/core/ladder/model.ts';
import { choicesOf } from '../../page/choices.ts';

export const routes = choicesOf<Route>({
  straight: 'Straight up',
  leap: 'Leaps to the target',
  'at-target': 'At the target',
});

export const drops = choicesOf<LadderRules['drop']>({
  'one-rung': 'One rung',
  'half-way': 'Half-way back',
});

export const stepKinds = choicesOf<Step['kind']>({ bpm: 'bpm', percent: 'percent' });
