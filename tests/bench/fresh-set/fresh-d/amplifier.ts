// An amplifier with transistors and a small loudspeaker: bends both sides alike, and harder than valves do.
import type { Hertz } from '../../../../app/core/base/units.ts';
import { BANK_RATE } from '../../ear-set/bank.ts';

/** @param drive 1 just reaches the bend, 10 is well beyond it. */
export function throughTransistors(guitar: Float32Array, drive: number): Float32Array {
  const most = guitar.reduce((top, x) => Math.max(top, Math.abs(x)), 1e-9);
  const gain = drive / most;
  const tight = highPass(guitar, 180);
  const bent = tight.map((x) => (gain * x) / (1 + Math.abs(gain * x) ** 3) ** (1 / 3));
  return resonance(resonance(highPass(bent, 70), 3_900, 0.9), 4_300, 0.7);
}

function highPass(x: Float32Array, hertz: Hertz): Float32Array {
  const pole = Math.exp((-2 * Math.PI * hertz) / BANK_RATE);
  let slow = 0;
  return x.map((y) => {
    slow += (1 - pole) * (y - slow);
    return y - slow;
  });
}

/** A second-order low-pass (R. Bristow-Johnson's cookbook form, from memory) with a bump at its edge. */
function resonance(x: Float32Array, hertz: Hertz, q: number): Float32Array {
  const w = (2 * Math.PI * hertz) / BANK_RATE;
  const alpha = Math.sin(w) / (2 * q);
  const b = (1 - Math.cos(w)) / 2 / (1 + alpha);
  const [a1, a2] = [(-2 * Math.cos(w)) / (1 + alpha), (1 - alpha) / (1 + alpha)];
  let [x1, x2, y1, y2] = [0, 0, 0, 0];
  return x.map((now) => {
    const y = b * (now + 2 * x1 + x2) - a1 * y1 - a2 * y2;
    [x2, x1, y2, y1] = [x1, now, y1, y];
    return y;
  });
}
