// The recording of one pass of a climb, of this window.
import { later } from '../../page/clock.ts';
import { type World, world } from '../world.ts';
import { PassRecording } from './pass-recording.svelte.ts';
import { windowRecorder } from './window-recorder.ts';

const build = (around: World): PassRecording =>
  new PassRecording({ ...around, later, recorder: windowRecorder(around) });

/** In a screen, while it is set up. */
export const passRecordingHere = (): PassRecording => world().once(build);
