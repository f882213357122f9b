// The voice of a lead line: a plucked string whose pitch may move, as samples. A sum of decaying partials
// keeps every bend exact: the phase is the integral of the curve, with no delay line to retune.
import type { Gain, Hertz, SampleRate, Samples, Seconds } from '../../base/units.ts';
import { frameAt } from '../frames.ts';
import { frequencyOf } from '../pluck.ts';
import { pitchAt, type LeadTone } from './tones.ts';
import { nextNoise } from '../noise.ts';

/** Beside the strummed model: a lead stands out, but a double stop must not reach the ceiling. */
export const LEAD_GAIN: Gain = 0.45;
/** Where the string is plucked, as a share of its length; harmonics with a node there are weak. */
const PLUCK = 0.17;
const PARTIALS = 14;
/** Time to fall to 1/e of the first partial at 110 Hz; higher notes and partials fall faster. Ours, by ear. */
const DECAY: Seconds = 1.6;
/** A stopped string is damped by the finger over this time. */
const DAMPING: Seconds = 0.012;
const ATTACK: Seconds = 0.002;
/** The pitch curve is read every so many samples and the frequency moves in a straight line between. */
const BLOCK: Samples = 32;

/** A tone as samples and where in the lap its first sample lies. Peak about 1 at a full pick stroke. */
export interface RenderedTone {
  readonly from: Samples;
  readonly samples: Float32Array;
}

/** One tone, bends and all; muted where it has no pitch. */
export function renderTone(tone: LeadTone, sampleRate: SampleRate): RenderedTone {
  const from = frameAt(tone.start, sampleRate);
  const samples = new Float32Array(Math.max(1, frameAt(tone.end + 4 * DAMPING, sampleRate) - from));
  if (tone.points.length === 0) renderMuted(samples, tone, sampleRate);
  else renderPitched(samples, tone, from, sampleRate);
  damp(samples, frameAt(tone.end, sampleRate) - from, sampleRate);
  return { from, samples };
}

/** Amplitudes of an ideal string plucked at one point: sin(kπp)/k² (d'Alembert's solution, textbook). */
function partialShares(): Float64Array {
  const raw = Float64Array.from(
    { length: PARTIALS },
    (_, i) => Math.abs(Math.sin((i + 1) * Math.PI * PLUCK)) / (i + 1) ** 2,
  );
  const sum = raw.reduce((a, b) => a + b, 0);
  return raw.map((share) => share / sum);
}

function renderPitched(
  out: Float32Array,
  tone: LeadTone,
  from: Samples,
  sampleRate: SampleRate,
): void {
  const shares = partialShares();
  const attacks = tone.attacks.map(({ at, strength }) => ({
    at: frameAt(at, sampleRate) - from,
    strength,
  }));
  const rise = 1 - Math.exp(-1 / (ATTACK * sampleRate));
  // Amplitudes of the partials now: attacks raise them, decay lowers them.
  const levels = new Float64Array(PARTIALS);
  let goal = 0;
  let level = 0;
  let phase = 0;
  let next = 0;
  let toward = frequencyOf(pitchAt(tone, from / sampleRate));
  let hertz = toward;
  let decay = decaysAt(hertz, sampleRate);
  for (let start = 0; start < out.length; start += BLOCK) {
    if (toward !== hertz) decay = decaysAt(toward, sampleRate);
    hertz = toward;
    toward = frequencyOf(pitchAt(tone, (from + start + BLOCK) / sampleRate));
    const heard = Math.min(PARTIALS, Math.floor((0.45 * sampleRate) / hertz));
    const end = Math.min(start + BLOCK, out.length);
    for (let i = start; i < end; i++) {
      while (next < attacks.length && attacks[next]!.at <= i) {
        const { strength } = attacks[next++]!;
        for (let k = 0; k < PARTIALS; k++) levels[k] = Math.max(levels[k]!, strength * shares[k]!);
        goal = 1;
      }
      level += (goal - level) * rise;
      out[i] = level * sumOfPartials(levels, decay, heard, phase);
      phase += (2 * Math.PI * (hertz + ((toward - hertz) * (i - start)) / BLOCK)) / sampleRate;
    }
  }
}

/** One sample of the first `heard` partials; lowers each level by its decay. */
function sumOfPartials(
  levels: Float64Array,
  decay: Float64Array,
  heard: number,
  phase: number,
): number {
  // sin kφ = 2 cos φ · sin (k − 1)φ − sin (k − 2)φ: one sine a sample instead of one a partial.
  const twice = 2 * Math.cos(phase);
  let older = 0;
  let sine = Math.sin(phase);
  let sum = 0;
  for (let k = 0; k < heard; k++) {
    const level = levels[k]!;
    sum += level * sine;
    levels[k] = level * decay[k]!;
    const newer = twice * sine - older;
    older = sine;
    sine = newer;
  }
  return sum;
}

/** What each partial keeps of its level from one sample to the next. */
const decaysAt = (hertz: Hertz, sampleRate: SampleRate): Float64Array =>
  Float64Array.from({ length: PARTIALS }, (_, k) =>
    Math.exp(-1 / (decayOf(hertz, k + 1) * sampleRate)),
  );

const decayOf = (hertz: Hertz, partial: number): Seconds =>
  (DECAY * Math.sqrt(110 / hertz)) / (1 + 0.25 * (partial - 1));

/** A dead note: a short, low knock with a little string noise. */
function renderMuted(out: Float32Array, tone: LeadTone, sampleRate: SampleRate): void {
  let noise = 12_345 + tone.string;
  const strength = tone.attacks[0]?.strength ?? 1;
  for (let i = 0; i < out.length; i++) {
    noise = nextNoise(noise);
    const t = i / sampleRate;
    const knock = Math.sin(2 * Math.PI * 130 * t) * Math.exp(-t / 0.012);
    out[i] = strength * (0.6 * knock + (0.25 * noise * Math.exp(-t / 0.006)) / 2 ** 31);
  }
}

function damp(out: Float32Array, from: Samples, sampleRate: SampleRate): void {
  const fall = Math.exp(-1 / (DAMPING * sampleRate));
  let gain = 1;
  for (let i = Math.max(0, from); i < out.length; i++) out[i]! *= gain *= fall;
}
