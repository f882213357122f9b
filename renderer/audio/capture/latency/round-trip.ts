// From several repeats of the test signal to one round trip, or a sentence that says why there is none.
import { fail, ok, type Result } from '../../../../app/core/base/result.ts';
import type {
  Decibels,
  Milliseconds,
  SampleRate,
  Seconds,
} from '../../../../app/core/base/units.ts';
import type { Found } from './correlate.ts';

export interface RoundTrip {
  /** From handing a sound over to finding it in the recording: output and input delay together. */
  readonly delay: Seconds;
  /** Between the shortest and the longest of the repeats that were accepted. */
  readonly spread: Milliseconds;
  readonly accepted: number;
  readonly repeats: number;
}

/** A weaker peak may be chance (weblatencytest README). */
const LEAST_PEAK: Decibels = 18;
/** Repeats of one opening lie within this; more, and something moved meanwhile (ours). */
const MOST_SPREAD: Milliseconds = 5;
const LEAST_ACCEPTED = 3;

/** Fails where too few repeats were heard, or they lie too far apart. @param rate samples per second */
export function roundTripOf(found: readonly Found[], rate: SampleRate): Result<RoundTrip> {
  const clear = found.filter((one) => one.aboveRest >= LEAST_PEAK);
  if (clear.length < LEAST_ACCEPTED) return fail(notHeard(clear.length, found.length));
  const delays = clear.map((one) => one.delay / rate).toSorted((a, b) => a - b);
  const spread = 1000 * (delays.at(-1)! - delays[0]!);
  if (spread > MOST_SPREAD) return fail(unsteady(spread));
  const delay = delays[Math.floor(delays.length / 2)]!;
  return ok({ delay, spread, accepted: clear.length, repeats: found.length });
}

const notHeard = (clear: number, repeats: number) => ({
  code: 'round-trip-not-heard',
  message: `The test sound was heard clearly in ${clear} of ${repeats} repeats only.`,
  cure: 'Bring the microphone near the loudspeaker or one side of the headphones, turn it up a little, and measure again in a quiet moment.',
});

const unsteady = (spread: Milliseconds) => ({
  code: 'round-trip-unsteady',
  message: `The repeats lie ${Math.round(spread)} ms apart, too far to trust them.`,
  cure: 'Close what keeps the machine busy, or use devices with a cable, and measure again.',
});
