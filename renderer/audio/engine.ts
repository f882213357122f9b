// The signal path of one audio context: a gain per level → master → fade → the −6 dBFS ceiling → out.
// Tone is taken module by module: its index would open a context and a Blob worker when imported.
import { connect } from 'tone/build/esm/core/context/ToneAudioNode.js';
import { Gain as GainNode } from 'tone/build/esm/core/context/Gain.js';
import { WaveShaper } from 'tone/build/esm/signal/WaveShaper.js';
import { ceilingCurve, KNEE } from '../../app/core/sound/ceiling.ts';
import { LEVEL_NAMES, type LevelName } from '../../app/core/sound/levels.ts';
import type { Seconds } from '../../app/core/base/units.ts';
import type { VoiceLevels } from './player.ts';
import { Gates } from './gates.ts';
import { toneOver } from './tone-context.ts';

/** Level changes glide this long, so that a moved slider does not crackle. */
const GLIDE: Seconds = 0.02;

export interface Engine {
  readonly native: AudioContext | OfflineAudioContext;
  /** Where sounds of this level are plugged in; those of a member of the band can be muted apart. */
  input(level: LevelName, member?: string): AudioNode;
  setLevels(levels: VoiceLevels): void;
  /** Silences these members of the band, also in what is scheduled already, and lets all others be heard. */
  setMuted(members: ReadonlySet<string>): void;
  /** Fades all to silence, then opens the path again; returns the audio time at which it is open. */
  fadeOut(over: Seconds): Seconds;
  dispose(): void;
}

/** A single click at full level reaches the knee of the ceiling and no further, so it stays undistorted. */
const FULL_LEVEL = KNEE;

/** Voices with a level each, then a master, a fade, and the ceiling last of all. */
export function buildEngine(
  native: AudioContext | OfflineAudioContext,
  levels: VoiceLevels,
): Engine {
  const context = toneOver(native);
  const ceiling = new WaveShaper({ context, mapping: ceilingCurve() });
  const fade = new GainNode({ context, gain: 1 }).connect(ceiling);
  const master = new GainNode({ context, gain: levels.master * FULL_LEVEL }).connect(fade);
  const voices = new Map(
    LEVEL_NAMES.map(
      (v) => [v, new GainNode({ context, gain: levels[v] }).connect(master)] as const,
    ),
  );
  connect(ceiling, native.destination);
  const gates = new Gates(native);
  return {
    native,
    input(level, member) {
      const open = voices.get(level)!.input as unknown as AudioNode;
      return member === undefined ? open : gates.of(member, level, open);
    },
    setMuted: gates.setMuted,
    setLevels(next) {
      master.gain.rampTo(next.master * FULL_LEVEL, GLIDE, native.currentTime);
      for (const [voice, gain] of voices) gain.gain.rampTo(next[voice], GLIDE, native.currentTime);
    },
    fadeOut(over) {
      const now = native.currentTime;
      fade.gain.cancelScheduledValues(now).setValueAtTime(1, now);
      fade.gain.linearRampToValueAtTime(0, now + over).setValueAtTime(1, now + over + GLIDE);
      return now + over + GLIDE;
    },
    dispose() {
      for (const node of [...voices.values(), master, fade, ceiling]) node.dispose();
    },
  };
}
