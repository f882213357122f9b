// The band's sounds for a sample rate: loaded with Tone when a band is first heard, rendered once, kept for good.
import type { BandKit } from '../../app/core/band/model.ts';
import type { SampleRate } from '../../app/core/base/units.ts';
import { toneOffline } from './tone-context.ts';

const kits = new Map<SampleRate, Promise<BandKit>>();
/** Tone renders in one global context: never two at once. */
let last: Promise<unknown> = Promise.resolve();

/**
 * Rendered once for each rate, one after the other; after a failure it is rendered anew. @param rate samples per
 * second
 */
export function bandKit(rate: SampleRate): Promise<BandKit> {
  const kept = kits.get(rate);
  if (kept) return kept;
  const kit = last.then(() => made(rate));
  last = kit.catch(() => kits.delete(rate));
  kits.set(rate, kit);
  return kit;
}

async function made(rate: SampleRate): Promise<BandKit> {
  // Tone prints a banner when it loads, unless it is told not to.
  Object.assign(globalThis, { TONE_SILENCE_LOGGING: true });
  toneOffline(rate);
  const { renderKit } = await import('./band-instruments.ts');
  return renderKit(rate);
}
