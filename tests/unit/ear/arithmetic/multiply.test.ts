// Vectors, plain code and a sum by hand agree; what is shipped compiled is what the source beside it says.
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import wabt from 'wabt';
import { deskOf } from '../../../../app/core/ear/arithmetic/linear.ts';
import {
  type Arithmetic,
  COMPILED,
  plainly,
  withVectors,
} from '../../../../app/core/ear/arithmetic/multiply.ts';

const SOURCE = new URL('../../../../app/core/ear/arithmetic/multiply.wat', import.meta.url);
const ROOM = 100_000;

it('is compiled from multiply.wat', async () => {
  const { parseWat } = await wabt();
  const text = readFileSync(SOURCE, 'utf8');
  const { buffer } = parseWat('multiply.wat', text, { relaxed_simd: true }).toBinary({});
  expect(Buffer.from(buffer).toString('base64')).toBe(COMPILED);
});

const numbers = (length: number) =>
  fc.array(fc.double({ min: -4, max: 4, noNaN: true }), { minLength: length, maxLength: length });

const cases = fc
  .record({
    inputs: fc.integer({ min: 1, max: 40 }),
    outputs: fc.integer({ min: 1, max: 20 }),
    rows: fc.integer({ min: 1, max: 11 }),
    /** Beyond the inputs; less than none where rows overlap. */
    apart: fc.integer({ min: -3, max: 3 }),
    rectified: fc.boolean(),
  })
  .chain((size) => {
    const stride = Math.max(0, size.inputs + size.apart);
    return fc.record({
      size: fc.constant({ ...size, stride }),
      weights: numbers(size.inputs * size.outputs),
      bias: numbers(size.outputs),
      x: numbers((size.rows - 1) * stride + size.inputs),
    });
  });
type Case = typeof cases extends fc.Arbitrary<infer T> ? T : never;

function byHand({ size, weights, bias, x }: Case): number[][] {
  return Array.from({ length: size.rows }, (_, row) =>
    bias.map((b, o) => {
      let sum = b;
      for (let i = 0; i < size.inputs; i++) {
        sum += weights[o * size.inputs + i]! * x[row * size.stride + i]!;
      }
      return size.rectified ? Math.max(0, sum) : sum;
    }),
  );
}

function reckoned({ size, weights, bias, x }: Case, arithmetic: Arithmetic): number[][] {
  const desk = deskOf(ROOM, arithmetic);
  const map = desk.map(Float64Array.from(weights), Float64Array.from(bias));
  const from = { at: desk.room(x.length), stride: size.stride };
  const to = { at: desk.room(size.rows * map.outputs), stride: map.outputs };
  const after = desk.room(4);
  desk.numbers.set(x, from.at);
  desk.numbers.fill(7, after, after + 4);
  desk.apply(map, from, to, size.rows, size.rectified ? { rectified: true } : {});
  expect([...desk.numbers.subarray(after, after + 4)]).toEqual([7, 7, 7, 7]);
  return Array.from({ length: size.rows }, (_, row) => {
    const at = to.at + row * to.stride;
    return [...desk.numbers.subarray(at, at + size.outputs)];
  });
}

describe.each([
  ['vectors', (length: number) => withVectors(length)!],
  ['plain code', plainly],
] as const)('multiplied in %s', (_, arithmetic) => {
  it('is what a sum by hand gives', () => {
    fc.assert(
      fc.property(cases, (given) => {
        const got = reckoned(given, arithmetic(ROOM));
        byHand(given).forEach((row, r) =>
          row.forEach((v, o) => expect(Math.abs(got[r]![o]! - v)).toBeLessThan(1e-3)),
        );
      }),
      { numRuns: 60 },
    );
  });

  it('refuses what has no room', () => {
    const desk = deskOf(100, arithmetic(100));
    expect(() => desk.room(20_000)).toThrow(/are too few/);
  });
});
