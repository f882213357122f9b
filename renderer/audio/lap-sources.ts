// Turns the sounds of a lap into buffer sources of their own, each at its sample, all before the lap starts.
import { frameAt } from '../../app/core/sound/frames.ts';
import { hitsOf } from '../../app/core/sound/hits.ts';
import { CLICK_VOICES, type ClickVoice } from '../../app/core/sound/voices.ts';
import type { Lap } from '../../app/core/timeline/model.ts';
import type { SampleRate, Seconds } from '../../app/core/units.ts';
import type { Engine } from './engine.ts';

/** Sounds that have been handed to the audio engine. */
export interface LapSources {
  /** Silences those that start at `from` or later. */
  cancel(from: Seconds): void;
  /** Ends all of them at `at`, sounding or not. */
  end(at: Seconds): void;
}

export type ClickBuffers = Readonly<Record<ClickVoice, AudioBuffer>>;
/** What a voice sounds like; tests put single samples in the place of the real voices. */
export type VoiceRenderer = (voice: ClickVoice, sampleRate: SampleRate) => Float32Array;

export function clickBuffers(engine: Engine, render: VoiceRenderer): ClickBuffers {
  const { native } = engine;
  const buffers = CLICK_VOICES.map((voice) => {
    const samples = render(voice, native.sampleRate);
    const buffer = native.createBuffer(1, samples.length, native.sampleRate);
    buffer.getChannelData(0).set(samples);
    return [voice, buffer] as const;
  });
  return Object.fromEntries(buffers) as Record<ClickVoice, AudioBuffer>;
}

interface Placed {
  readonly source: AudioBufferSourceNode;
  readonly startsAt: Seconds;
}

/** Schedules every click of the lap that begins at audio time `at`. */
export function scheduleClicks(
  engine: Engine,
  buffers: ClickBuffers,
  lap: Lap,
  at: Seconds,
): LapSources {
  const { native } = engine;
  const placed = hitsOf(lap).map(({ voice, seconds }): Placed => {
    const startsAt = frameAt(at + seconds, native.sampleRate) / native.sampleRate;
    const source = new AudioBufferSourceNode(native, { buffer: buffers[voice] });
    source.connect(engine.input(voice));
    source.start(startsAt);
    return { source, startsAt };
  });
  return sourcesOf(placed);
}

function sourcesOf(placed: readonly Placed[]): LapSources {
  return {
    cancel(from) {
      for (const { source, startsAt } of placed) if (startsAt >= from) silence(source);
    },
    end(at) {
      for (const { source, startsAt } of placed) {
        if (startsAt >= at) silence(source);
        else source.stop(at);
      }
    },
  };
}

function silence(source: AudioBufferSourceNode) {
  source.stop();
  source.disconnect();
}
