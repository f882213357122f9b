// The moment that is read from the network's weights over the frames.
import { describe, expect, it } from 'vitest';
import { momentOf } from '../../../app/core/ear/judge-change.ts';
import { FAST } from '../../../app/core/ear/network/shape.ts';

/** Weights by frame; the rest is none. */
function weights(at: Readonly<Record<number, number>>): Float64Array {
  const when = new Float64Array(FAST.frames + 1);
  for (const [frame, weight] of Object.entries(at)) when[Number(frame)] = weight;
  return when;
}
const timeOf = (frame: number): number => FAST.first + FAST.hop * frame;

describe('momentOf', () => {
  it('lies within the only frame, a little behind its middle', () => {
    const moment = momentOf(weights({ 40: 1 }));
    expect(moment).toBeCloseTo(timeOf(40) + 0.05 * FAST.hop, 6);
  });

  it('moves towards a neighbour by its weight', () => {
    const alone = momentOf(weights({ 40: 0.8 }));
    expect(momentOf(weights({ 39: 0.2, 40: 0.6 }))).toBeLessThan(alone);
    expect(momentOf(weights({ 40: 0.6, 41: 0.2 }))).toBeGreaterThan(alone);
  });

  it('is not moved by what is far away', () => {
    expect(momentOf(weights({ 40: 0.6, 90: 0.4 }))).toBe(momentOf(weights({ 40: 0.6 })));
  });

  it('takes the earlier of two where it is told to be patient', () => {
    const two = weights({ 40: 0.45, 80: 0.55 });
    expect(momentOf(two)).toBeCloseTo(timeOf(80), 2);
    expect(momentOf(two, { until: 0.06, fall: 0.1 })).toBeCloseTo(timeOf(40), 2);
  });
});
