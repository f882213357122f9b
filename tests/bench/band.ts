// What a microphone or a loudspeaker lets through, in the samples themselves.
import type { Hertz } from '../../app/core/base/units.ts';
import { BANK_RATE } from './ear-set/bank.ts';

/** Lets `low` to `high` through; one pole on each side. */
export function passBand(x: Float32Array, low: Hertz, high: Hertz): void {
  const pole = (hertz: number) => Math.exp((-2 * Math.PI * hertz) / BANK_RATE);
  const [slow, fast] = [pole(low), pole(high)];
  let [rumble, heard] = [0, 0];
  for (let i = 0; i < x.length; i++) {
    rumble += (1 - slow) * (x[i]! - rumble);
    heard += (1 - fast) * (x[i]! - rumble - heard);
    x[i] = heard;
  }
}
