// The program's own features and network give what the training script's gave for the same sound; golden.json was
// written by tests/bench/ear-training/train.py (write_golden) from two made changes. In vectors and in plain code it says
// what the same network says in 64-bit numbers.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { plainly, withVectors } from '../../../../app/core/ear/arithmetic/multiply.ts';
import { soundFrames } from '../../../../app/core/ear/frames.ts';
import { FACTS, readNetwork } from '../../../../app/core/ear/network/network.ts';
import { FAST, SLOW } from '../../../../app/core/ear/network/shape.ts';
import { NETWORK } from '../../../support/network.ts';

interface Golden {
  /** 16-bit samples at 16 kHz from 0.28 s before the reference moment, base64. */
  readonly sound: string;
  /** Marks of what is due, due before and due next. */
  readonly score: readonly [string, string, string];
  /** Slow frames are shown before this time. */
  readonly seen: number;
  readonly slow: readonly (readonly number[])[];
  readonly fast: readonly (readonly number[])[];
  readonly struck: readonly number[];
  readonly facts: readonly number[];
  readonly when: readonly number[];
}

const read = (name: string): string => readFileSync(new URL(name, import.meta.url), 'utf8');
const goldens = JSON.parse(read('golden.json')) as readonly Golden[];
const REFERENCE = 0.28;

const WEIGHTS = readFileSync(new URL('../../../../assets/ear/network.bin', import.meta.url));
const networks = [
  ['in vectors', readNetwork(WEIGHTS, (length) => withVectors(length)!)],
  ['in plain code', readNetwork(WEIGHTS, plainly)],
] as const;
const doubled = readNetwork(WEIGHTS, (length) => plainly(length, new Float64Array(length)));
/** Also where less of the sound has come than the golden change shows. */
const SEEN = [1.6, 0.7, 0.4, 0.25];

describe.each(goldens.map((golden) => ({ golden })))('a made change', ({ golden }) => {
  const bytes = Buffer.from(golden.sound, 'base64');
  const sound = Float32Array.from({ length: bytes.length / 2 }, (_, i) => {
    return bytes.readInt16LE(2 * i) / 32_768;
  });
  const frames = soundFrames();
  frames.advance(sound, sound.length);
  const patch = frames.patch(REFERENCE, REFERENCE + golden.seen);
  const marks = (text: string) => Uint8Array.from(text, Number);
  const [due, before, next] = golden.score;

  it('shows the network what it was trained on', () => {
    [3, 10, 20].forEach((frame, i) => {
      golden.slow[i]!.forEach((v, bin) => {
        expect(patch.slow[frame * SLOW.bins + bin]).toBeCloseTo(v, 1);
      });
    });
    [20, 45, 80].forEach((frame, i) => {
      golden.fast[i]!.forEach((v, c) => {
        expect(patch.fast[frame * FAST.channels + c]).toBeCloseTo(v, 3);
      });
    });
  });

  it('says what the trained one said', () => {
    const heard = NETWORK.hear(patch, {
      due: marks(due),
      before: marks(before),
      next: marks(next),
    });
    golden.struck.forEach((v, p) => expect(Math.abs(heard.struck[p]! - v)).toBeLessThan(0.1));
    golden.facts.forEach((v, i) => expect(Math.abs(heard.facts[FACTS[i]!] - v)).toBeLessThan(0.1));
    golden.when.forEach((v, i) => expect(Math.abs(heard.when[i]! - v)).toBeLessThan(0.02));
  });

  it.each(networks)('says %s what it said in 64-bit numbers, within 0.0001', (_, network) => {
    const score = { due: marks(due), before: marks(before), next: marks(next) };
    for (const seen of [golden.seen, ...SEEN]) {
      const patch = frames.patch(REFERENCE, REFERENCE + seen);
      const heard = network.hear(patch, score);
      const exact = doubled.hear(patch, score);
      const off = [
        ...exact.struck.map((v, p) => heard.struck[p]! - v),
        ...FACTS.map((fact) => heard.facts[fact] - exact.facts[fact]),
        ...exact.when.map((v, i) => heard.when[i]! - v),
      ];
      expect(Math.max(...off.map(Math.abs))).toBeLessThan(1e-4);
      expect(exact.struck.some((v, p) => v !== heard.struck[p])).toBe(true);
    }
  });
});

it('refuses weights that are cut off, and says which', () => {
  expect(() => readNetwork(WEIGHTS.subarray(0, WEIGHTS.length - 1000))).toThrow(/is cut off/);
  expect(() => readNetwork(new Uint8Array(10))).toThrow(/no head/);
});
