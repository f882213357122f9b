// Is a tempo owned as far as the log can say? A file of its own, since what asks it need not know how a level is read.
import type { Bpm } from '../base/units.ts';
import type { OwnedTempo } from './owned-tempo.ts';

/** Is the target owned as far as the log can say? */
export const owns = (owned: OwnedTempo, target: Bpm): boolean =>
  (owned.kind === 'number' || owned.kind === 'at-least') && owned.bpm >= target * (1 - 1e-9);
