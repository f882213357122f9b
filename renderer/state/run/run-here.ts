// The run-through of this window. Built by the first room that asks, so that the first screen does without its code.
import { windowRecorder } from '../recordings/window-recorder.ts';
import { type World, world } from '../world.ts';
import { RunThrough } from './run-through.svelte.ts';

const build = (around: World): RunThrough =>
  new RunThrough({ ...around, recording: windowRecorder(around) });

/** In a screen, while it is set up. */
export const runHere = (): RunThrough => world().once(build);
