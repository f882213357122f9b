// All my data in one file, built by the first room that asks for it.
import { world, type World } from '../world.ts';
import { ArchiveState } from './archive.svelte.ts';

const build = (around: World): ArchiveState => new ArchiveState(around);

/** Of this window; built when the first room asks. */
export const archiveHere = (): ArchiveState => world().once(build);
