// The click voices as audio buffers, each made when first heard, and the clicks of a lap as sounds.
import { type HeardClicks, hitsOf } from '../../app/core/sound/hits.ts';
import { levelOf } from '../../app/core/sound/levels.ts';
import type { ClickTimbre, ClickVoice } from '../../app/core/timeline/click-voices.ts';
import type { Lap } from '../../app/core/timeline/model.ts';
import type { SampleRate } from '../../app/core/base/units.ts';
import type { Engine } from './engine.ts';
import type { TimedSound } from './lap-sources.ts';

/** What a voice sounds like; tests put single samples in the place of the real voices. */
export type VoiceRenderer = (
  voice: ClickVoice,
  sampleRate: SampleRate,
  timbre: ClickTimbre,
) => Float32Array;

export type ClickBuffers = (voice: ClickVoice, timbre: ClickTimbre) => AudioBuffer;

/** Each voice is rendered when it is first heard. */
export function clickBuffers({ native }: Engine, render: VoiceRenderer): ClickBuffers {
  const made = new Map<string, AudioBuffer>();
  return (voice, timbre) => {
    const key = `${voice} ${timbre}`;
    const kept = made.get(key);
    if (kept) return kept;
    const samples = render(voice, native.sampleRate, timbre);
    const buffer = native.createBuffer(1, samples.length, native.sampleRate);
    buffer.getChannelData(0).set(samples);
    made.set(key, buffer);
    return buffer;
  };
}

/** The clicks of a lap as sounds, in seconds from its start. @param which all of them if left out */
export const clickSounds = (
  lap: Lap,
  buffers: ClickBuffers,
  which?: HeardClicks,
): readonly TimedSound[] =>
  hitsOf(lap, which).map(({ seconds, voice, timbre }) => ({
    seconds,
    level: levelOf(voice),
    // The count-in is heard whatever is muted.
    ...(levelOf(voice) === 'count' ? {} : { member: 'click' }),
    buffer: () => buffers(voice, timbre),
  }));
