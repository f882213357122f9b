// What a loudspeaker plays along with the chart: drums and bass in its time, or a whole recording with its chords.
import type { Hertz, Midi, PitchClass, Samples, Seconds } from '../../../../app/core/base/units.ts';
import type { Expectation, ExpectedChange } from '../../../../app/core/ear/model.ts';
import { frequencyOf } from '../../../../app/core/sound/pluck.ts';
import { BANK_RATE, samplesIn } from '../../ear-set/bank.ts';
import type { Dice } from '../../ear-set/random.ts';

/** Half the players have a band, a third a recording; the others hear nothing but the click and a cupboard's hum. */
export function fromLoudspeaker(
  d: Dice,
  length: Samples,
  { changes, beat }: Expectation,
): Float32Array {
  const out = new Float32Array(length);
  const plays = d.weighted([
    ['band', 5],
    ['recording', 3],
    ['nothing', 2],
  ] as const);
  hum(out, d);
  if (plays === 'nothing') return out;
  const late = d.between(0.001, 0.012);
  const kit: Kit = { kick: d.between(48, 75), snare: d.between(160, 260), beat };
  for (const [i, change] of changes.entries()) {
    const { due, until } = change;
    for (let k = 0; due + k * beat < until - 0.05; k++) {
      const at = due + late + k * beat + d.normal(0, plays === 'recording' ? 0.006 : 0);
      drums(out, at, (i + k) % 2 === 0, kit, d);
      if (change.to) bass(out, at, change.to.root, 0.85 * beat, d);
    }
    if (plays === 'recording') keys(out, change, late, d);
  }
  return small(out);
}

function hum(out: Float32Array, d: Dice): void {
  const turn = (2 * Math.PI * 50) / BANK_RATE;
  const size = d.between(0.004, 0.02);
  for (let i = 0; i < out.length; i++) {
    out[i]! += size * (Math.sin(turn * i) + 0.5 * Math.sin(2 * turn * i) + 0.4 * d.between(-1, 1));
  }
}

interface Kit {
  readonly kick: Hertz;
  readonly snare: Hertz;
  readonly beat: Seconds;
}

/** A kick or a snare, and two strokes of the hi-hat. */
function drums(out: Float32Array, at: Seconds, strong: boolean, kit: Kit, d: Dice): void {
  const from = samplesIn(at);
  let phase = 0;
  for (let i = 0; i < samplesIn(0.25) && from + i < out.length; i++) {
    const t = i / BANK_RATE;
    if (from + i < 0) continue;
    phase +=
      ((strong ? kit.kick * (1 + 2 * Math.exp(-t / 0.015)) : kit.snare) * 2 * Math.PI) / BANK_RATE;
    const skin = Math.sin(phase) * Math.exp(-t / (strong ? 0.07 : 0.04));
    const wires = strong ? 0 : 0.5 * d.between(-1, 1) * Math.exp(-t / 0.06);
    out[from + i]! += 0.5 * (skin + wires);
  }
  for (const half of [0, 0.5]) hat(out, at + half * kit.beat, d);
}

function hat(out: Float32Array, at: Seconds, d: Dice): void {
  const from = samplesIn(at);
  let before = 0;
  for (let i = 0; i < samplesIn(0.06); i++) {
    const white = d.between(-1, 1);
    if (from + i >= 0 && from + i < out.length) {
      out[from + i]! += 0.08 * (white - before) * Math.exp(-i / samplesIn(0.015));
    }
    before = white;
  }
}

const BASS_FROM: Midi = 31;
const KEYS_FROM: Midi = 57;
const above = (from: Midi, pitchClass: PitchClass): Midi =>
  from + ((((pitchClass - from) % 12) + 12) % 12);

function bass(out: Float32Array, at: Seconds, root: PitchClass, long: Seconds, d: Dice): void {
  addTone(out, {
    at,
    long,
    hertz: frequencyOf(above(BASS_FROM, root)),
    size: d.between(0.25, 0.35),
    fall: 0.5,
  });
}

function keys(out: Float32Array, { due, until, to }: ExpectedChange, late: Seconds, d: Dice): void {
  for (const tone of to?.pitchClasses ?? []) {
    const at = due + late + d.between(0, 0.02);
    const long = Math.min(2.5, until - due - 0.05);
    addTone(out, { at, long, hertz: frequencyOf(above(KEYS_FROM, tone)), size: 0.045, fall: 1.2 });
  }
}

interface Sound {
  readonly at: Seconds;
  readonly long: Seconds;
  readonly hertz: Hertz;
  readonly size: number;
  readonly fall: Seconds;
}

function addTone(out: Float32Array, { at, long, hertz, size, fall }: Sound): void {
  const from = samplesIn(at);
  const length = samplesIn(Math.max(0.05, long));
  const turn = (2 * Math.PI * hertz) / BANK_RATE;
  for (let i = 0; i < length && from + i < out.length; i++) {
    if (from + i < 0) continue;
    const gate = Math.min(1, i / 200, (length - i) / 800) * Math.exp(-i / samplesIn(fall));
    const x = turn * i;
    out[from + i]! += size * gate * (Math.sin(x) + 0.5 * Math.sin(2 * x) + 0.25 * Math.sin(3 * x));
  }
}

/** A loudspeaker of the size of a hand has little below 110 Hz. */
function small(x: Float32Array): Float32Array {
  const pole = 1 - Math.exp((-2 * Math.PI * 110) / BANK_RATE);
  let low = 0;
  return x.map((y) => {
    low += pole * (y - low);
    return y - low;
  });
}
