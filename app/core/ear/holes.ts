// Holes in a recording: stretches that never arrived, where the machine was too busy and silence was put in place.
import type { SampleRate, Samples, Seconds } from '../base/units.ts';

export interface Hole {
  readonly from: Seconds;
  readonly to: Seconds;
}

/** Shorter silences are left alone; what a browser leaves out comes in pieces of 3 or 10 ms. */
const SHORTEST: Seconds = 0.002;
/** Longer ones may be meant: a gate or an editor makes them, too. A busy browser leaves out a few pieces at most. */
const LONGEST: Seconds = 0.08;
/** Sound this loud (−60 dBFS) right before and right after: notes end softly, and breaks are cut off hard. */
const LOUD = 0.001;
/** So far is looked to either side. */
const BESIDE: Seconds = 0.003;

/**
 * Finds holes in sound as it comes: samples of exactly zero between sound that was cut off hard. No microphone
 * delivers those by itself.
 */
export function holeFinder(rate: SampleRate) {
  const isHole = (zeros: Samples): boolean => zeros >= SHORTEST * rate && zeros <= LONGEST * rate;
  const beside: Samples = Math.ceil(BESIDE * rate);
  const holes: Hole[] = [];
  let at: Samples = 0;
  let zeros: Samples = 0;
  /** The loudest of the last samples before the zeros, and how long ago it was. */
  let before = recentPeak(beside);
  let beforeZeros = 0;
  /** A silence that ended a moment ago: it is a hole if what follows is loud. */
  let ended: { readonly hole: Hole; readonly until: Samples } | undefined;

  const hear = (sample: number): void => {
    const size = Math.abs(sample);
    if (size === 0) {
      if (zeros === 0) beforeZeros = before.value(at);
      zeros += 1;
    } else {
      if (isHole(zeros) && beforeZeros >= LOUD) {
        ended = { hole: { from: (at - zeros) / rate, to: at / rate }, until: at + beside };
      }
      if (zeros >= beside) before = recentPeak(beside);
      zeros = 0;
      before.hear(at, size);
      if (ended && at > ended.until) ended = undefined;
      else if (ended && size >= LOUD) {
        holes.push(ended.hole);
        ended = undefined;
      }
    }
    at += 1;
  };
  return {
    holes: holes as readonly Hole[],
    push: (sound: Float32Array): void => {
      for (let i = 0; i < sound.length; i++) hear(sound[i]!);
    },
  };
}

/** The loudest sample of the last `reach` ones, well enough: the later of equal halves wins. */
function recentPeak(reach: Samples) {
  let peak = 0;
  let peakAt = -Infinity;
  return {
    hear: (at: Samples, size: number): void => {
      if (size >= peak || at - peakAt > reach) [peak, peakAt] = [size, at];
    },
    value: (at: Samples): number => (at - peakAt > reach ? 0 : peak),
  };
}
