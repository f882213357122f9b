// Turns the sounds of a lap into buffer sources of their own, each at its sample, far ahead of its time.
import { frameAt } from '../../app/core/sound/frames.ts';
import type { Seconds } from '../../app/core/base/units.ts';
import type { LevelName } from '../../app/core/sound/levels.ts';
import type { Engine } from './engine.ts';

/** Something to be heard once, `seconds` after the start of its lap. */
export interface TimedSound {
  readonly seconds: Seconds;
  readonly level: LevelName;
  /** Whose sound it is, where that one can be muted. */
  readonly member?: string;
  /** Asked for when the sound is handed to the audio engine. */
  readonly buffer: () => AudioBuffer;
}

/**
 * A waiting source costs the audio thread time (10,000 of them took five times real time), so a long lap
 * goes over in short stretches: so many at once, then one more whenever one has been heard. So the main
 * thread may stand still for all but one of them, and what it mixes at a time fits between two pictures.
 * Shorter laps go over as a whole.
 */
export const STRETCH: Seconds = 2;
export const IN_HAND = 11;

interface Placed {
  readonly source: AudioBufferSourceNode;
  readonly startsAt: Seconds;
}

/** The sounds of one lap in the hands of the audio engine. */
export class LapSources {
  readonly #engine: Engine;
  readonly #at: Seconds;
  readonly #waiting: (readonly TimedSound[])[];
  readonly #placed = new Set<readonly Placed[]>();
  #silentFrom: Seconds = Infinity;

  /** Schedules the lap that begins at audio time `at`; its sounds are sorted by time. */
  constructor(engine: Engine, sounds: readonly TimedSound[], at: Seconds) {
    this.#engine = engine;
    this.#at = at;
    const stretches = Map.groupBy(sounds, (sound) => Math.floor(sound.seconds / STRETCH));
    this.#waiting = [...stretches.values()];
    for (let i = 0; i < IN_HAND; i++) this.#handOver();
  }

  /** Silences what starts at `from` or later. */
  cancel(from: Seconds): void {
    this.#silentFrom = Math.min(this.#silentFrom, from);
    for (const { source, startsAt } of this.#all()) if (startsAt >= from) silence(source);
  }

  /** Ends all at `at`, sounding or not. */
  end(at: Seconds): void {
    this.cancel(at);
    for (const { source, startsAt } of this.#all()) if (startsAt < at) source.stop(at);
  }

  #all = (): readonly Placed[] => [...this.#placed].flat();

  #handOver(): void {
    const sounds = this.#waiting.shift() ?? [];
    const placed = sounds
      .filter((sound) => this.#at + sound.seconds < this.#silentFrom)
      .map((sound) => place(this.#engine, sound, this.#at));
    const last = placed.at(-1);
    if (!last) return;
    this.#placed.add(placed);
    last.source.onended = () => {
      this.#placed.delete(placed);
      this.#handOver();
    };
  }
}

/** The one rounding: to the nearest sample of the audio clock. */
function place({ native, input }: Engine, sound: TimedSound, lapAt: Seconds): Placed {
  const startsAt = frameAt(lapAt + sound.seconds, native.sampleRate) / native.sampleRate;
  const source = new AudioBufferSourceNode(native, { buffer: sound.buffer() });
  source.connect(input(sound.level, sound.member));
  source.start(startsAt);
  return { source, startsAt };
}

function silence(source: AudioBufferSourceNode) {
  source.stop();
  source.disconnect();
}
