// The pitch of a lead line where it is asked for, by the McLeod pitch method ("A smarter way to find pitch", ICMC 2005)
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
const CLEAR: Share = 0.85;

/** The clear frames of a stretch: those whose middle lies in it, by time. */
export type PitchIn = (from: Seconds, to: Seconds) => readonly PitchFrame[];

/** Of a recording at {@link EAR_RATE}; each frame is read when it is first asked for. */
export function pitchTrack(samples: Float32Array): PitchIn {
  const detector = PitchDetector.forFloat32Array(FRAME);
  detector.minVolumeDecibels = -55;
  const count = Math.floor((samples.length - FRAME) / HOP) + 1;
  const known = new Map<number, PitchFrame | null>();
  const read = (i: number): PitchFrame | null => {
    const [hertz, clarity] = detector.findPitch(
      samples.subarray(i * HOP, i * HOP + FRAME),
      EAR_RATE,
    );
    if (clarity < CLEAR || hertz < LOWEST_HERTZ || hertz > HIGHEST_HERTZ) return null;
    return { at: middleOf(i), pitch: 69 + 12 * Math.log2(hertz / 440), clarity };
  };
  return (from, to) => {
    const found: PitchFrame[] = [];
    for (let i = firstFrom(from); i < count && middleOf(i) < to; i++) {
      if (!known.has(i)) known.set(i, read(i));
      const frame = known.get(i);
      if (frame) found.push(frame);
    }
    return found;
  };
}

const middleOf = (frame: number): Seconds => (frame * HOP + FRAME / 2) / EAR_RATE;

/** The first frame whose middle is not before a time. */
const firstFrom = (from: Seconds): number =>
  Math.max(0, Math.ceil((from * EAR_RATE - FRAME / 2) / HOP));
