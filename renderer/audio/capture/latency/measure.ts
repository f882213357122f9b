// Plays the test signal through the player's context, records it, and works out the round trip.
import { fail, ok, type Result } from '../../../../app/core/base/result.ts';
import type { Gain, SampleRate, Samples, Seconds } from '../../../../app/core/base/units.ts';
import type { Capture } from '../model.ts';
import { Tape } from '../tape.ts';
import { type Found, findSignal } from './correlate.ts';
import { maximumLengthSequence } from './mls.ts';
import { type RoundTrip, roundTripOf } from './round-trip.ts';

export const REPEATS = 4;
/** Bluetooth has been seen at 0.3 s one way (google/oboe issue 1563). */
const LONGEST: Seconds = 0.7;
/** Of silence before each repeat. */
const PAUSE: Seconds = 0.15;
/** Faded in and out over this many samples, so that it begins without a bang. */
const FADE: Samples = 512;
/** Half of full scale: as loud as the program may ever be (−6 dBFS peak). */
const CEILING: Gain = 0.5;

/** How long the test sounds in all. */
export const testLength = (rate: SampleRate): Seconds =>
  REPEATS * ((2 ** 15 - 1) / rate + LONGEST + PAUSE);

/** @param level 0–1, the program's own level: 1 is the ceiling and never more. */
export async function measureRoundTrip(
  context: AudioContext,
  capture: Capture,
  level: Gain,
): Promise<Result<RoundTrip>> {
  const known = faded(maximumLengthSequence());
  const tape = new Tape(capture);
  const found: Found[] = [];
  for (let i = 0; i < REPEATS; i++) {
    const at = playOnce(context, known, Math.min(1, level) * CEILING);
    const length = known.length + Math.ceil(LONGEST * context.sampleRate);
    const heard = await tape.between(at, at + length);
    if (!heard) return fail(lost);
    found.push(findSignal(heard, known));
  }
  tape.end();
  const trip = roundTripOf(found, context.sampleRate);
  return trip.ok ? ok(trip.value) : trip;
}

/** Answers with the frame at which it was handed over. */
function playOnce(context: AudioContext, samples: Float32Array<ArrayBuffer>, gain: Gain): Samples {
  const buffer = context.createBuffer(1, samples.length, context.sampleRate);
  buffer.copyToChannel(samples, 0);
  const source = new AudioBufferSourceNode(context, { buffer });
  source.connect(new GainNode(context, { gain })).connect(context.destination);
  const frame = Math.ceil((context.currentTime + PAUSE) * context.sampleRate);
  source.start(frame / context.sampleRate);
  return frame;
}

function faded(samples: Float32Array<ArrayBuffer>): Float32Array<ArrayBuffer> {
  const last = samples.length - 1;
  return samples.map((x, i) => x * Math.min(1, i / FADE, (last - i) / FADE));
}

const lost = {
  code: 'round-trip-lost',
  message: 'The microphone stopped while the test sounded.',
  cure: 'Check its cable and measure again.',
};
