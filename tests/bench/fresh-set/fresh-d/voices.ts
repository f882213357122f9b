// A family in talk, nobody's voices: a smooth pulse of the vocal cords through formants side by side, and breath.
import type { Hertz, Samples, Seconds } from '../../../../app/core/base/units.ts';
import { BANK_RATE, samplesIn } from '../../ear-set/bank.ts';
import type { Dice } from '../../ear-set/random.ts';

/** Corners of the vowel space of an adult, first and second formant; rounded, common practice, no source. */
const CORNERS = { low: [290, 780], high: [820, 2_300] } as const;

interface Speaker {
  readonly pitch: Hertz;
  /** How short the mouth is: 1 an adult's, above it a child's. */
  readonly size: number;
  readonly loud: number;
}

/** Two or three adults and a child, who fall in with each other and laugh. */
export function family(d: Dice, length: Samples): Float32Array {
  const out = new Float32Array(length);
  const people: Speaker[] = [
    { pitch: d.between(95, 125), size: 0.95, loud: 1 },
    { pitch: d.between(180, 220), size: 1.12, loud: 0.9 },
    { pitch: d.between(260, 330), size: 1.35, loud: d.between(0.4, 1) },
  ];
  for (const speaker of people) {
    let at = samplesIn(d.between(0, 4));
    while (at < length) {
      at = d.chance(0.12) ? laugh(out, at, speaker, d) : sentence(out, at, speaker, d);
      at += samplesIn(d.between(0.4, 5));
    }
  }
  return out;
}

/** @returns where it ends. */
function sentence(out: Float32Array, from: Samples, speaker: Speaker, d: Dice): Samples {
  const count = Math.floor(d.between(4, 18));
  let at = from;
  for (let k = 0; k < count && at < out.length; k++) {
    const falls = 1.12 - (0.28 * k) / count + d.between(-0.05, 0.05);
    if (d.chance(0.35)) at = breath(out, at, d.between(0.03, 0.1), 0.12 * speaker.loud, d);
    const seconds = d.between(0.07, 0.2);
    voice(out, at, { ...speaker, pitch: speaker.pitch * falls, seconds }, d);
    at += samplesIn(seconds);
  }
  return at;
}

function laugh(out: Float32Array, from: Samples, speaker: Speaker, d: Dice): Samples {
  const count = Math.floor(d.between(3, 8));
  let at = from;
  for (let k = 0; k < count && at < out.length; k++) {
    voice(out, at, { ...speaker, pitch: speaker.pitch * (1.7 - 0.1 * k), seconds: 0.08 }, d);
    at += samplesIn(0.1);
    at = breath(out, at, 0.07, 0.1 * speaker.loud, d);
  }
  return at;
}

function breath(
  out: Float32Array,
  from: Samples,
  seconds: Seconds,
  size: number,
  d: Dice,
): Samples {
  const length = samplesIn(seconds);
  let before = 0;
  for (let i = 0; i < length && from + i < out.length; i++) {
    const white = d.between(-1, 1);
    out[from + i]! += size * Math.sin((Math.PI * i) / length) * (white - 0.6 * before);
    before = white;
  }
  return from + length;
}

function voice(
  out: Float32Array,
  from: Samples,
  { pitch, size, loud, seconds }: Speaker & { readonly seconds: Seconds },
  d: Dice,
): void {
  const length = samplesIn(seconds);
  const drawn = (k: 0 | 1) => size * d.between(CORNERS.low[k], CORNERS.high[k]);
  const [begins, ends] = [
    [drawn(0), drawn(1)],
    [drawn(0), drawn(1)],
  ] as const;
  const formants = [band(80), band(110), band(170)];
  let phase = 0;
  for (let i = 0; i < length && from + i < out.length; i++) {
    const share = i / length;
    phase = (phase + (pitch * (1 + 0.02 * d.between(-1, 1))) / BANK_RATE) % 1;
    // Opens slowly, shuts at once (after Rosenberg 1971, from memory).
    const flow = phase < 0.6 ? Math.sin((Math.PI * phase) / 1.2) ** 2 : 0;
    const source = flow - 0.3 + 0.02 * d.between(-1, 1);
    const at = (k: 0 | 1) => begins[k] + share * (ends[k] - begins[k]);
    const sum =
      formants[0]!(source, at(0)) +
      0.5 * formants[1]!(source, at(1)) +
      0.2 * formants[2]!(source, 2_700 * size);
    out[from + i]! += loud * Math.min(1, 12 * share, 6 * (1 - share)) * sum;
  }
}

/** A resonance without an answer to what stands still. */
function band(width: Hertz): (x: number, hertz: Hertz) => number {
  const r = Math.exp((-Math.PI * width) / BANK_RATE);
  let [x1, x2, y1, y2] = [0, 0, 0, 0];
  return (x, hertz) => {
    const y =
      (1 - r) * (x - x2) + 2 * r * Math.cos((2 * Math.PI * hertz) / BANK_RATE) * y1 - r * r * y2;
    [x2, x1, y2, y1] = [x1, x, y1, y];
    return y;
  };
}
