// The steps of an interleaving: what a few machines do, and what happens to the files between them.
import { BY_FILE } from './hub.ts';

/** `m` is a machine, `n` any number that the step makes something of. */
export interface Step {
  readonly does: (typeof STEPS)[number];
  readonly m: number;
  readonly n: number;
}

export const STEPS = [
  'play',
  'word',
  'set',
  'unset',
  'edit',
  'sync',
  'play while it syncs',
  'set while it syncs',
  'edit while it syncs',
  'sync while it syncs',
  'fetch while it syncs',
  'go away while it syncs',
  'tell',
  'die in a sync',
  'restart',
  'back up',
  'restore',
  'restore the log',
  'restore the folder',
  'restore the hub',
  'mend the log',
  'copy the machine',
  'move',
  'turn the clock',
  'go away',
  'send all',
  'fetch all',
  'clear',
  'destroy',
  'join',
  'teach',
  'report',
  'take off',
  'remove for good',
  'remove while it syncs',
  'die while removing',
  ...BY_FILE,
] as const;

/** In orders of these alone nothing is told twice, and nothing stands that was set over. */
const GENTLE: ReadonlySet<Step['does']> = new Set<Step['does']>([
  'play',
  'word',
  'set',
  'unset',
  'edit',
  'sync',
  'tell',
  'restart',
  'turn the clock',
  'play while it syncs',
  'set while it syncs',
  'edit while it syncs',
  'sync while it syncs',
  'send all',
  'fetch all',
  'join',
  'teach',
  'report',
]);
export const isGentle = ({ does }: Step): boolean => GENTLE.has(does);
