// The recordings of this window, built by the first room that lists them.
import { type World, world } from '../world.ts';
import { Recordings } from './recordings.svelte.ts';

/** For the world's `once`. */
export const buildRecordings = (around: World): Recordings => new Recordings(around);

/** In a screen, while it is set up. */
export const recordingsHere = (): Recordings => world().once(buildRecordings);
