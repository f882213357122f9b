// The pitch of a lead line over time, by the McLeod pitch method ("A smarter way to find pitch", ICMC 2005)
// as the `pitchy` library has it.
import { PitchDetector } from 'pitchy';
import type { Midi, Samples, Seconds, Share } from '../../base/units.ts';
import { EAR_RATE } from '../rate.ts';

export interface PitchFrame {
  /** Middle of the frame. */
  readonly at: Seconds;
  /** Fractions of a semitone count; 69 is A4 = 440 Hz (ISO 16:1975). */
  readonly pitch: Midi;
  /** 1 is a perfectly periodic sound. */
  readonly clarity: Share;
}

/** 46 ms: nearly four periods of the lowest string (82.4 Hz), short beside a sixteenth at 160 bpm. */
const FRAME: Samples = 736;
/** 11.5 ms. */
const HOP: Samples = 184;
/** Lowest and highest pitch a guitar line can have, with room for bends and low tunings. */
const LOWEST_HERTZ = 60;
const HIGHEST_HERTZ = 1800;
/** Less is noise, a muted string or two notes at once. Ours, on the train half. */
export const CLEAR: Share = 0.85;

/** All clear frames of a recording at {@link EAR_RATE}. */
export function pitchTrack(samples: Float32Array): readonly PitchFrame[] {
  const detector = PitchDetector.forFloat32Array(FRAME);
  detector.minVolumeDecibels = -55;
  const frames: PitchFrame[] = [];
  for (let from = 0; from + FRAME <= samples.length; from += HOP) {
    const [hertz, clarity] = detector.findPitch(samples.subarray(from, from + FRAME), EAR_RATE);
    if (clarity < CLEAR || hertz < LOWEST_HERTZ || hertz > HIGHEST_HERTZ) continue;
    const at = (from + FRAME / 2) / EAR_RATE;
    frames.push({ at, pitch: 69 + 12 * Math.log2(hertz / 440), clarity });
  }
  return frames;
}

/** Frames whose middle lies in a span of time; frames are in order of time. */
export const framesBetween = (
  frames: readonly PitchFrame[],
  from: Seconds,
  to: Seconds,
): readonly PitchFrame[] => frames.filter(({ at }) => at >= from && at < to);

/** The middle value; undefined for none. */
export function median(values: readonly number[]): number | undefined {
  if (values.length === 0) return undefined;
  const sorted = values.toSorted((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[half] : (sorted[half - 1]! + sorted[half]!) / 2;
}
