// Watches an audio context for everything that makes what is heard untrustworthy.
import type { Milliseconds, Seconds } from '../../app/core/base/units.ts';
import type { PlayerTrouble } from './player.ts';

type Tell = (trouble: PlayerTrouble) => void;
type Unwatch = () => void;

/** Starts all watches; the returned function ends them. */
export function watchForTrouble(context: AudioContext, tell: Tell): Unwatch {
  const watches = [watchState, watchDevice, watchClock, watchUnderruns];
  const ends = watches.map((watch) => watch(context, tell));
  return () => ends.forEach((end) => end());
}

/** Listens until the returned function is called. */
function on(target: EventTarget, type: string, listener: () => void): Unwatch {
  target.addEventListener(type, listener);
  return () => target.removeEventListener(type, listener);
}

/** The system may suspend or interrupt a context, or close it with its device. */
function watchState(context: AudioContext, tell: Tell): Unwatch {
  return on(context, 'statechange', () => {
    if (context.state === 'closed') tell({ kind: 'device-lost' });
    else if (context.state !== 'running') tell({ kind: 'suspended' });
  });
}

/**
 * 'error' comes from the context itself; the list of outputs catches the rest. 'sinkchange' tells only that the
 * program moved its own sound (Web Audio API 1.1).
 */
function watchDevice(context: AudioContext, tell: Tell): Unwatch {
  const lost = () => tell({ kind: 'device-lost' });
  const devices = navigator.mediaDevices as MediaDevices | undefined;
  let known: string | undefined;
  const compare = async () => {
    const found = await defaultOutput(devices!);
    if (known !== undefined && found !== known) lost();
    known = found;
  };
  const ends = [on(context, 'error', lost)];
  if (devices) {
    void compare();
    ends.push(on(devices, 'devicechange', () => void compare()));
  }
  return () => ends.forEach((end) => end());
}

/** What the default output is, as far as the browser tells: its group changes when headphones go. */
async function defaultOutput(devices: MediaDevices): Promise<string> {
  const outputs = (await devices.enumerateDevices()).filter((d) => d.kind === 'audiooutput');
  const main = outputs.find((d) => d.deviceId === 'default') ?? outputs[0];
  return main ? `${main.groupId}/${main.label}` : 'none';
}

const LOOK_EVERY: Milliseconds = 500;

/** A clock seen at one moment of the page's time. */
interface Sighting {
  readonly seen: Milliseconds;
  readonly clock: Seconds;
}

/** `currentTime` stands still unless the context really renders, whatever its state says. */
function watchClock(context: AudioContext, tell: Tell): Unwatch {
  let last: Sighting = { seen: performance.now(), clock: context.currentTime };
  let told = false;
  const timer = setInterval(() => {
    const moved = context.currentTime > last.clock;
    const stoodFor = performance.now() - last.seen;
    if (moved || context.state !== 'running') {
      last = { seen: performance.now(), clock: context.currentTime };
      told = false;
    } else if (stoodFor >= 2 * LOOK_EVERY && !told) {
      told = true;
      tell({ kind: 'clock-stopped' });
    }
  }, LOOK_EVERY);
  return () => clearInterval(timer);
}

/** Counters of the Web Audio API's playback statistics; older browsers have the second name or none. */
interface PlaybackCounters {
  readonly playbackStats?: { readonly underrunDuration: Seconds };
  readonly playoutStats?: { readonly fallbackFramesDuration: Milliseconds };
}

/** Seconds of silence the device had to invent so far; undefined where the browser does not tell. */
function underrunSoFar(context: AudioContext): Seconds | undefined {
  const { playbackStats, playoutStats } = context as AudioContext & PlaybackCounters;
  if (playbackStats) return playbackStats.underrunDuration;
  return playoutStats && playoutStats.fallbackFramesDuration / 1000;
}

function watchUnderruns(context: AudioContext, tell: Tell): Unwatch {
  let before = underrunSoFar(context);
  if (before === undefined) return () => {};
  const timer = setInterval(() => {
    const now = underrunSoFar(context)!;
    if (now > before!) tell({ kind: 'underrun', at: context.currentTime, lost: now - before! });
    before = now;
  }, LOOK_EVERY);
  return () => clearInterval(timer);
}
