// The easiest way to play a line: the strings, frets and fingers that the cheapest path chooses.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parsePart, printPart } from '../../../app/core/lead/notation.ts';
import { toPitches } from '../../../app/core/lead/pitched.ts';
import { fingerings, type FingeredLead } from '../../../app/core/lead/fingering.ts';
import { USUAL_NECK } from '../../../app/core/fretboard/geometry.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { OPEN, pitched } from './pitched.ts';

const neck = { ...USUAL_NECK, open: OPEN, frets: 22 };
const best = (text: string): FingeredLead => unwrap(fingerings(pitched(text), neck, 'Line'))[0]!;

describe('the cheapest path', () => {
  it('stays in one position for a scale that one position holds', () => {
    // One octave of A major over 4th–5th position (common practice, no source).
    const scale = best('6/5 6/7 5/4 5/5 5/7 4/4 4/6 4/7');
    expect(scale.cost.shifts).toBe(0);
  });

  it('brings a line scattered over the neck together', () => {
    const scattered = pitched('6/15 5/5 6/12 4/0');
    const [first] = unwrap(fingerings(scattered, neck, 'Line'));
    expect(first!.cost.shifts).toBe(0);
    expect(toPitches(first!.bars, OPEN)).toEqual(scattered);
  });

  it('keeps reached notes on the string they come from', () => {
    const bars = best('3/5 h7 p5 /9').bars;
    const strings = bars[0]!.events
      .flatMap((e) => (e.kind === 'notes' ? e.notes : []))
      .map((n) => n.string);
    expect(new Set(strings).size).toBe(1);
  });

  it('bends with the third finger where it is free to choose (common practice, no source)', () => {
    expect(best('3/7b1').fingers[0]![0]).toEqual([3]);
  });
});

it('offers other places with what they cost, cheapest first', () => {
  const ways = unwrap(fingerings(pitched('3/7 3/9 2/8 2/10'), neck, 'Line'));
  expect(ways.length).toBeGreaterThan(1);
  const costs = ways.map((way) => way.cost.total);
  expect(costs).toEqual(costs.toSorted((a, b) => a - b));
  expect(new Set(ways.map((way) => printPart(way.bars))).size).toBe(ways.length);
});

describe('what cannot be played is named', () => {
  it('a pitch off the neck', () => {
    const high = toPitches(
      unwrap(parsePart('4 1/5 1/22', 'Line')),
      OPEN.map((p) => p + 12),
    );
    expect(fingerings(high, neck, 'Second guitar')).toMatchObject({
      ok: false,
      problems: [{ message: expect.stringContaining('Second guitar, bar 1, entry 2') }],
    });
  });

  it('two low notes that only one string has', () => {
    expect(fingerings(pitched('6/1+6/2'), neck, 'Line').ok).toBe(false);
  });
});

it('never changes a pitch, a technique or a length', () => {
  const line = fc
    .array(fc.tuple(fc.integer({ min: 1, max: 6 }), fc.integer({ min: 0, max: 15 })), {
      minLength: 1,
      maxLength: 24,
    })
    .map((notes) => notes.map(([string, fret]) => `${string}/${fret}`).join(' '));
  fc.assert(
    fc.property(line, (text) => {
      for (const way of unwrap(fingerings(pitched(text), neck, 'Line'))) {
        expect(toPitches(way.bars, OPEN)).toEqual(pitched(text));
      }
    }),
    { numRuns: 40 },
  );
});
