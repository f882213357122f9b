// The program's own clicks are taken out of the sound when it hears them, and nothing is when it does not.
import { describe, expect, it } from 'vitest';
import { clickRemover } from '../../../app/core/ear/clicks.ts';
import { soundFrames } from '../../../app/core/ear/frames.ts';
import { strokesBetween } from '../../../app/core/ear/strokes.ts';
import { EAR_RATE } from '../../../app/core/ear/rate.ts';
import { renderVoice } from '../../../app/core/sound/voices.ts';
import { CHORDS, add, strums } from './sounds.ts';

const clicks = [0.5, 1, 1.5, 2].map((at, i) => ({ at, voice: i === 0 ? 'bar' : 'beat' }) as const);

/** Each click once at `delay` and once, weaker, 7 ms later, as from a wall. */
function bleed(sound: Float32Array, delay: number): Float32Array {
  return clicks.reduce((out, click) => {
    const wave = renderVoice(click.voice, EAR_RATE);
    const from = Math.round(click.at * EAR_RATE) + delay;
    const echo = wave.map((v) => 0.3 * v);
    return add(
      add(
        out,
        wave.map((v) => 0.2 * v),
        from,
      ),
      echo.map((v) => 0.2 * v),
      from + 154,
    );
  }, sound);
}

const energy = (x: Float32Array) => x.reduce((sum, v) => sum + v * v, 0);

function withoutClicks(sound: Float32Array) {
  const samples = sound.slice();
  const taken = new Float32Array(sound.length);
  const remover = clickRemover(clicks);
  remover.advance(samples, taken, samples.length);
  return { samples, taken, heard: remover.heard };
}

describe('clickRemover', () => {
  it('takes out clicks that come by two ways, 1 to 9 ms late', () => {
    const { samples, heard } = withoutClicks(bleed(new Float32Array(3 * EAR_RATE), 40));
    expect(heard).toBeGreaterThan(0.9);
    expect(energy(samples)).toBeLessThan(0.02 * energy(bleed(new Float32Array(3 * EAR_RATE), 40)));
  });

  it('leaves the guitar where a stroke and a click fall together', () => {
    const played = [1.5, 2.2].map((at) => ({ at, notes: CHORDS.C }));
    const { samples } = withoutClicks(bleed(strums(played, 3, EAR_RATE), 40));
    const frames = soundFrames();
    frames.advance(samples, samples.length);
    const found = strokesBetween(frames, 1.2, 2.9);
    expect(found).toHaveLength(2);
    found.forEach((o, i) => expect(Math.abs(o.at - played[i]!.at)).toBeLessThan(0.015));
  });

  it('changes nothing when the clicks stay in headphones', () => {
    const sound = strums([{ at: 1.2, notes: CHORDS.G }], 3, EAR_RATE);
    const { samples, heard } = withoutClicks(sound);
    expect(heard).toBeLessThan(0.4);
    expect(samples).toEqual(sound);
  });
});
