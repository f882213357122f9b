// What leaves the desk, built by the first room that hands something out.
import { world, type World } from '../world.ts';
import { DeskOutgoing } from './outgoing.ts';

const build = (around: World): DeskOutgoing => new DeskOutgoing(around);

/** Of this window; built when the first room asks. */
export const outgoingHere = (): DeskOutgoing => world().once(build);
