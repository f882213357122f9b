// The click voices as audio buffers, and the clicks of a lap as sounds.
import { type HeardClicks, hitsOf } from '../../app/core/sound/hits.ts';
import { CLICK_VOICES, type ClickVoice } from '../../app/core/timeline/click-voices.ts';
import type { Lap } from '../../app/core/timeline/model.ts';
import type { SampleRate } from '../../app/core/base/units.ts';
import type { Engine } from './engine.ts';
import type { Sound } from './lap-sources.ts';

export type ClickBuffers = Readonly<Record<ClickVoice, AudioBuffer>>;
/** What a voice sounds like; tests put single samples in the place of the real voices. */
export type VoiceRenderer = (voice: ClickVoice, sampleRate: SampleRate) => Float32Array;

export function clickBuffers({ native }: Engine, render: VoiceRenderer): ClickBuffers {
  const buffers = CLICK_VOICES.map((voice) => {
    const samples = render(voice, native.sampleRate);
    const buffer = native.createBuffer(1, samples.length, native.sampleRate);
    buffer.getChannelData(0).set(samples);
    return [voice, buffer] as const;
  });
  return Object.fromEntries(buffers) as Record<ClickVoice, AudioBuffer>;
}

export const clickSounds = (
  lap: Lap,
  buffers: ClickBuffers,
  which?: HeardClicks,
): readonly Sound[] =>
  hitsOf(lap, which).map(({ seconds, voice }) => ({
    seconds,
    voice,
    buffer: () => buffers[voice],
  }));
