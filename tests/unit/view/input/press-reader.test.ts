// Press, hold and double press, told apart in edges at stated milliseconds.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  BOUNCE_MS,
  DOUBLE_MS,
  HOLD_MS,
  NO_PRESSES,
  type Presses,
  readEdge,
  readTime,
  type Wanted,
} from '../../../../renderer/input/press-reader.ts';

/** Plays edges 'd' and 'u' at the times given and lists the gestures with the time they were told. */
function told(wanted: Wanted, ...edges: readonly [number, 'd' | 'u'][]): string[] {
  let presses: Presses = NO_PRESSES;
  const all: string[] = [];
  for (let at = 0; at <= 3000; at++) {
    const time = readTime(presses, at);
    presses = time.presses;
    all.push(...time.gestures.map((g) => `${g.gesture}@${at}`));
    for (const [when, edge] of edges) {
      if (when !== at) continue;
      const read = readEdge(presses, { signal: 'PageDown', down: edge === 'd', at }, wanted);
      presses = read.presses;
      all.push(...read.gestures.map((g) => `${g.gesture}@${at}`));
    }
  }
  return all;
}

const plain: Wanted = { hold: false, double: false };
const holds: Wanted = { hold: true, double: false };
const both: Wanted = { hold: true, double: true };

describe('a press', () => {
  it('is told at once where nothing else could be meant', () => {
    expect(told(plain, [100, 'd'], [180, 'u'])).toEqual(['press@100']);
  });
  it('waits for the release where a hold could be meant', () => {
    expect(told(holds, [100, 'd'], [180, 'u'])).toEqual([`press@${180 + BOUNCE_MS}`]);
  });
  it('waits for a second press where a double one could be meant', () => {
    expect(told(both, [100, 'd'], [180, 'u'])).toEqual([`press@${180 + DOUBLE_MS}`]);
  });
});

it('a hold is told while it is still down, once', () => {
  expect(told(both, [100, 'd'], [1400, 'u'])).toEqual([`hold@${100 + HOLD_MS}`]);
});

it('a double press is told at its second press, once', () => {
  expect(told(both, [100, 'd'], [180, 'u'], [300, 'd'], [1200, 'u'])).toEqual(['double@300']);
});

it('two presses further apart are two presses', () => {
  expect(told(both, [100, 'd'], [180, 'u'], [600, 'd'], [700, 'u'])).toEqual([
    `press@${180 + DOUBLE_MS}`,
    `press@${700 + DOUBLE_MS}`,
  ]);
});

describe('contacts that bounce for 30 ms', () => {
  const bouncing: [number, 'd' | 'u'][] = [
    [100, 'd'],
    [108, 'u'],
    [115, 'd'],
    [122, 'u'],
    [129, 'd'],
  ];
  it('make one press', () => {
    expect(told(plain, ...bouncing, [300, 'u'], [310, 'd'], [320, 'u'])).toEqual(['press@100']);
    expect(told(both, ...bouncing, [300, 'u'], [310, 'd'], [320, 'u'])).toEqual([
      `press@${320 + DOUBLE_MS}`,
    ]);
  });
  it('do not break a hold', () => {
    expect(told(holds, ...bouncing, [900, 'u'])).toEqual([`hold@${100 + HOLD_MS}`]);
  });
});

it('never tells more gestures than there were presses, whatever the edges', () => {
  const edge = fc.record({ after: fc.integer({ min: 1, max: 400 }), down: fc.boolean() });
  fc.assert(
    fc.property(
      fc.array(edge, { maxLength: 30 }),
      fc.boolean(),
      fc.boolean(),
      (edges, hold, double) => {
        let presses: Presses = NO_PRESSES;
        let at = 0;
        let count = 0;
        for (const { after, down } of edges) {
          at += after;
          const read = readEdge(presses, { signal: 'x', down, at }, { hold, double });
          presses = read.presses;
          count += read.gestures.length;
        }
        const rest = readTime(presses, at + 5000);
        expect(rest.wakeAt).toBeUndefined();
        expect(count + rest.gestures.length).toBeLessThanOrEqual(
          edges.filter((e) => e.down).length,
        );
      },
    ),
  );
});
