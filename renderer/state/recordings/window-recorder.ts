// A recorder with this window's microphone, clock and lists.
import { recordedKind, startRecorder } from '../../audio/capture/recorder.ts';
import type { World } from '../world.ts';
import { buildRecordings } from './recordings-here.ts';
import { SoundRecorder } from './sound-recorder.svelte.ts';

/** A recorder on this window's clock. */
export function windowRecorder(around: World): SoundRecorder {
  const recordings = around.once(buildRecordings);
  return new SoundRecorder({
    ...{ services: around.services, messages: around.messages },
    now: () => performance.now() / 1000,
    everySecond: (tick) => {
      const timer = setInterval(tick, 1000);
      return () => clearInterval(timer);
    },
    ...{ kind: recordedKind, start: startRecorder },
    kept: () => void recordings.load(),
  });
}
