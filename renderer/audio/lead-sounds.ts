// A lead line of a lap as sounds, one per tone, made when they are due.
import type { LeadTone } from '../../app/core/sound/lead/tones.ts';
import { LEAD_GAIN, renderTone } from '../../app/core/sound/lead/voice.ts';
import type { Engine } from './engine.ts';
import type { TimedSound } from './lap-sources.ts';

/** The notes of leads as sounds, in seconds from the start of their lap. @param member of the band that plays them */
export function leadSounds(
  engine: Engine,
  tones: readonly LeadTone[],
  member?: string,
): readonly TimedSound[] {
  const rate = engine.native.sampleRate;
  return tones.map((tone) => ({
    seconds: tone.start,
    level: 'model',
    ...(member === undefined ? {} : { member }),
    buffer: () => {
      const { samples } = renderTone(tone, rate);
      const buffer = engine.native.createBuffer(1, samples.length, rate);
      buffer.copyToChannel(
        Float32Array.from(samples, (x) => x * LEAD_GAIN),
        0,
      );
      return buffer;
    },
  }));
}
