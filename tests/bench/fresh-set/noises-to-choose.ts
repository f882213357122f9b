// What sounds beside the guitar where something is chosen: dishes, a wireless, a hand on the recorder, steps, rain.
//
// All of it is invented here, and made in other ways than the noises of the reported part.
import type { Hertz, Samples, Seconds } from '../../../app/core/base/units.ts';
import { BANK_RATE, samplesIn } from '../ear-set/bank.ts';
import type { Dice } from '../ear-set/random.ts';
import { cutOf, renderedSong, type Song } from './noises.ts';

type Maker = (d: Dice, length: Samples, cache: string) => Float32Array;

const MAKERS = { dishes, wireless, handling, steps, rain } as const satisfies Record<string, Maker>;
export type NoiseToChoose = keyof typeof MAKERS;

export const isToChoose = (kind: string): kind is NoiseToChoose => Object.hasOwn(MAKERS, kind);

export const noiseToChoose = (
  kind: NoiseToChoose,
  d: Dice,
  length: Samples,
  cache: string,
): Float32Array => MAKERS[kind](d, length, cache);

interface Tone {
  readonly hertz: Hertz;
  /** At its end, as a share of what it is at first. */
  readonly glides: number;
  readonly size: number;
  /** Falls to 1/e within. */
  readonly fall: Seconds;
}

function addTone(out: Float32Array, from: Samples, { hertz, glides, size, fall }: Tone): void {
  const length = samplesIn(5 * fall);
  let phase = 0;
  for (let i = 0; i < length && from + i < out.length; i++) {
    phase += (2 * Math.PI * hertz * (1 + (glides - 1) * (i / length))) / BANK_RATE;
    out[from + i]! += size * Math.exp(-i / samplesIn(fall)) * Math.sin(phase);
  }
}

/** Air through a pole, so loud. */
function addAir(out: Float32Array, d: Dice, size: number, pole: number): void {
  let low = 0;
  for (let i = 0; i < out.length; i++) {
    low += pole * (d.between(-1, 1) - low);
    out[i]! += (size * low) / Math.sqrt(pole);
  }
}

/** Plates put on each other, one soon after the next; a tap that drips; an extractor fan. */
function dishes(d: Dice, length: Samples): Float32Array {
  const out = new Float32Array(length);
  addAir(out, d, d.between(0.02, 0.08), 0.08);
  for (let at = samplesIn(d.between(0, 1)); at < length; at += samplesIn(d.between(0.6, 3))) {
    const plate = d.between(700, 2600);
    const ring = d.between(0.02, 0.25);
    const count = Math.floor(d.between(1, 6));
    for (let k = 0; k < count; k++) {
      const size = d.between(0.1, 0.6);
      // Ratios of a round plate's first modes, rounded.
      for (const mode of [1, 1.7, 2.3, 3.4, 4.1]) {
        const hertz = plate * mode * d.between(0.98, 1.02);
        addTone(out, at, { hertz, glides: 1, size: size / mode, fall: ring / mode });
      }
      at += samplesIn(d.between(0.04, 0.3));
    }
  }
  const every = d.between(0.4, 1.4);
  for (let at = 0; at < length; at += samplesIn(every * d.between(0.95, 1.05))) {
    addTone(out, at, { hertz: d.between(900, 1500), glides: 1.6, size: 0.08, fall: 0.012 });
  }
  return out;
}

/** Debian's denemo-data. */
const AIRFONT = '/usr/share/sounds/sf2/A320U.sf2';
const SONGS: readonly Song[] = [1, 2, 3].map((n) => ({
  ...{ name: `wireless-${n}`, seed: 8_800 + n, font: AIRFONT },
}));

/** Renders the songs that are not there yet. @throws Error where fluidsynth or its sound font is missing. */
export const readyWireless = (cache: string): void =>
  SONGS.forEach((song) => renderedSong(song, cache));

/** A song through a small loudspeaker, louder and softer as somebody walks by. */
function wireless(d: Dice, length: Samples, cache: string): Float32Array {
  const song = cutOf(renderedSong(d.pick(SONGS), cache), d, length);
  const turn = (2 * Math.PI * d.between(0.1, 0.5)) / BANK_RATE;
  let [low, high] = [0, 0];
  return song.map((x, i) => {
    low += 0.03 * (x - low);
    high += 0.45 * (x - low - high);
    return high * (1 + 0.3 * Math.sin(turn * i));
  });
}

/** Fingers on the recorder, cloth along it, and its own whine. */
function handling(d: Dice, length: Samples): Float32Array {
  const out = new Float32Array(length);
  addAir(out, d, 0.04, 0.4);
  const turn = (2 * Math.PI * d.between(950, 1050)) / BANK_RATE;
  for (let i = 0; i < length; i++) out[i]! += 0.01 * Math.sin(turn * i);
  for (let at = samplesIn(d.between(0, 2)); at < length; at += samplesIn(d.between(0.3, 2.5))) {
    if (d.chance(0.5)) {
      addTone(out, at, { hertz: d.between(60, 180), glides: 0.7, size: 1, fall: 0.02 });
      continue;
    }
    const long = samplesIn(d.between(0.1, 0.5));
    let low = 0;
    for (let i = 0; i < long && at + i < length; i++) {
      low += 0.2 * (d.between(-1, 1) - low);
      out[at + i]! += low * Math.sin((Math.PI * i) / long);
    }
  }
  return out;
}

/** Somebody goes upstairs, a door falls shut. */
function steps(d: Dice, length: Samples): Float32Array {
  const out = new Float32Array(length);
  addAir(out, d, 0.03, 0.03);
  const pace = d.between(0.38, 0.7);
  for (let at = 0; at < length; at += samplesIn(pace * d.between(0.93, 1.07))) {
    if (d.chance(0.15)) at += samplesIn(d.between(0.5, 3));
    const size = d.between(0.4, 1);
    addTone(out, at, { hertz: d.between(70, 130), glides: 0.8, size, fall: 0.03 });
    addTone(out, at, { hertz: d.between(250, 700), glides: 0.9, size: 0.4 * size, fall: 0.008 });
    addTone(out, at, { hertz: d.between(2_000, 5_000), glides: 1, size: 0.2 * size, fall: 0.003 });
  }
  const door = samplesIn(d.between(0, 30));
  addTone(out, door, { hertz: 55, glides: 0.8, size: 2.5, fall: 0.08 });
  return out;
}

/** On a window: air, and drops by the dozen. */
function rain(d: Dice, length: Samples): Float32Array {
  const out = new Float32Array(length);
  addAir(out, d, 0.1, 0.5);
  const often = d.between(0.008, 0.05);
  for (let at = 0; at < length; at += samplesIn(-often * Math.log(1 - d.between(0, 0.999)))) {
    const size = 0.5 * d.between(0, 1) ** 3 + 0.03;
    addTone(out, at, { hertz: d.between(1_200, 6_000), glides: 1.2, size, fall: 0.002 });
  }
  return out;
}
