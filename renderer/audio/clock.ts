// Which moment of the audio clock is being heard right now.
import type { Seconds } from '../../app/core/base/units.ts';

/** Differences larger than this mean that a browser's timestamp is not to be believed. */
const BELIEVABLE: Seconds = 1;

/**
 * The audio clock less the output latency. The output timestamp pairs a moment of the audio clock with
 * the page's clock, so it runs on smoothly between render quanta; where it is missing or absurd,
 * `currentTime` less `outputLatency` serves.
 */
export function heardBy(context: AudioContext): Seconds {
  const plain = context.currentTime - latencyOf(context);
  if (context.state !== 'running') return plain;
  const { contextTime, performanceTime } = context.getOutputTimestamp();
  if (!contextTime || !performanceTime) return plain;
  const heard = contextTime + (performance.now() - performanceTime) / 1000;
  const believable = heard <= context.currentTime && plain - heard < BELIEVABLE;
  return believable ? heard : plain;
}

/** As the browser reports it; 0 where it does not. */
export const latencyOf = (context: AudioContext): Seconds =>
  context.outputLatency || context.baseLatency || 0;
