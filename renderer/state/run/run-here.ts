// The run-through of this window. Built by the first room that asks, so that the first screen does without its code.
import { recordedKind, startRecorder } from '../../audio/capture/recorder.ts';
import { buildRecordings } from '../recordings/recordings-here.ts';
import { RunRecorder } from '../recordings/run-recorder.svelte.ts';
import { type World, world } from '../world.ts';
import { RunThrough } from './run-through.svelte.ts';

const build = (around: World): RunThrough => {
  const recordings = around.once(buildRecordings);
  const recorder = new RunRecorder({
    ...{ services: around.services, messages: around.messages },
    now: () => performance.now() / 1000,
    everySecond: (tick) => {
      const timer = setInterval(tick, 1000);
      return () => clearInterval(timer);
    },
    ...{ kind: recordedKind, start: startRecorder },
    kept: () => void recordings.load(),
  });
  return new RunThrough({ ...around, recording: recorder });
};

/** In a screen, while it is set up. */
export const runHere = (): RunThrough => world().once(build);
