// A lead line of a lap as sounds, one per tone, made when they are due.
import type { LineTone } from '../../app/core/sound/line/tones.ts';
import { renderTone } from '../../app/core/sound/line/voice.ts';
import type { Gain } from '../../app/core/units.ts';
import type { Engine } from './engine.ts';
import type { Sound } from './lap-sources.ts';

/** Beside the strummed model: a line leads, but a double stop must not reach the ceiling. */
const LINE_GAIN: Gain = 0.45;

export function lineSounds(engine: Engine, tones: readonly LineTone[]): readonly Sound[] {
  const rate = engine.native.sampleRate;
  return tones.map((tone) => ({
    seconds: tone.start,
    voice: 'model',
    buffer: () => {
      const { samples } = renderTone(tone, rate);
      const buffer = engine.native.createBuffer(1, samples.length, rate);
      buffer.copyToChannel(
        Float32Array.from(samples, (x) => x * LINE_GAIN),
        0,
      );
      return buffer;
    },
  }));
}
