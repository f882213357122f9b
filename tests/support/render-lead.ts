// One part of a lead line mixed into one buffer of the given length.
import type { Samples, SampleRate } from '../../app/core/base/units.ts';
import { renderTone } from '../../app/core/sound/lead/voice.ts';
import type { LeadTone } from '../../app/core/sound/lead/tones.ts';

export function renderLead(
  tones: readonly LeadTone[],
  length: Samples,
  sampleRate: SampleRate,
): Float32Array {
  const out = new Float32Array(length);
  for (const tone of tones) {
    const { from, samples } = renderTone(tone, sampleRate);
    const end = Math.min(samples.length, length - from);
    for (let i = Math.max(0, -from); i < end; i++) out[from + i]! += samples[i]!;
  }
  return out;
}
