// Tone's global context, always one of ours: asked for a context while it has none, Tone opens one of its own whose
// clock is a Blob worker, which the content policy refuses. Taken module by module, because Tone's index asks at once.
import { Context } from 'tone/build/esm/core/context/Context.js';
import { OfflineContext } from 'tone/build/esm/core/context/OfflineContext.js';
import { setContext } from 'tone/build/esm/core/context/GlobalContext.js';
import type { SampleRate } from '../../app/core/base/units.ts';

/** Tone over the player's own context, without Tone's clock: nothing here is ever timed by it. */
export function toneOver(native: AudioContext | OfflineAudioContext): Context | OfflineContext {
  const context =
    native instanceof OfflineAudioContext
      ? new OfflineContext(native as never)
      : new Context({ context: native as never, clockSource: 'offline', lookAhead: 0 });
  setContext(context);
  return context;
}

/** Tone over a context that makes no sound, for rendering alone. */
export function toneOffline(rate: SampleRate): void {
  setContext(new OfflineContext(1, 0.1, rate));
}
