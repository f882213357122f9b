// The fresh set's own truth: a take is the same for the same cell, every fault is a fault, and its strings are in tune.
import { PitchDetector } from 'pitchy';
import { describe, expect, it } from 'vitest';
import { BANK_RATE, physicalOnset } from '../../bench/ear-set/bank.ts';
import type { FreshPlan } from '../../bench/fresh-set/model.ts';
import { planTake } from '../../bench/fresh-set/plan.ts';
import { cellsOf } from '../../bench/fresh-set/set.ts';
import { waveguideGuitar } from '../../bench/fresh-set/waveguide.ts';

const cells = cellsOf('fresh-a');
const spoilt = [
  ...cells.filter(({ player }) => player === 'spoilt').slice(0, 24),
  ...cellsOf('choose').filter(({ player }, i) => player === 'spoilt' && i % 6 === 0),
].map(planTake);

/** Pitch classes of the strings that sound on at a change, from its first stroke on. */
function tonesAt({ sounding, changes }: FreshPlan, i: number): number[] {
  const { played, until } = changes[i]!;
  const first = sounding.filter(
    ({ at }) => at >= played! - 1e-6 && at < Math.min(until, played! + 0.55),
  );
  return [...new Set(first.filter((s) => s.thud === 0).map(({ midi }) => midi % 12))].toSorted();
}

const due = ({ changes }: FreshPlan, i: number): number[] =>
  [...new Set(changes[i]!.to.strings.flatMap((m) => (m === null ? [] : [m % 12])))].toSorted();

describe('a take', () => {
  it('is the same for the same cell', () => {
    expect(planTake(cells[7]!)).toEqual(planTake(cells[7]!));
  });

  it('has another chart in every cell of a round', () => {
    const texts = cells.slice(0, 12).map((cell) => planTake(cell).text);
    expect(new Set(texts).size).toBe(12);
  });

  it.each(['tone-lost', 'swap', 'colour', 'extra', 'no-seventh', 'other'] as const)(
    'sounds other tones than are due where the deed is %s',
    (deed) => {
      const found = spoilt.flatMap((plan) =>
        plan.changes.flatMap((change, i) => (change.deed === deed ? [{ plan, i }] : [])),
      );
      expect(found.length).toBeGreaterThan(0);
      for (const { plan, i } of found) expect(tonesAt(plan, i)).not.toEqual(due(plan, i));
    },
  );

  it('plucks nothing where the deed is silent', () => {
    for (const plan of spoilt) {
      plan.changes.forEach(({ deed, due: at, until }, i) => {
        if (deed !== 'silent') return;
        const next = plan.changes[i + 1]?.played ?? until;
        const within = plan.sounding.filter(
          (s) => s.at > at - 0.001 && s.at < Math.min(next, until) - 0.1,
        );
        expect(within).toEqual([]);
      });
    }
  });

  it('lets a string sound once at a time', () => {
    for (const { sounding } of spoilt) {
      for (let string = 0; string < 6; string++) {
        const own = sounding.filter((s) => s.string === string).toSorted((a, b) => a.at - b.at);
        own.slice(1).forEach((s, k) => expect(own[k]!.until).toBeLessThanOrEqual(s.at + 0.003));
      }
    }
  });
});

describe('a string model by waveguides', () => {
  it.each(['nylon', 'steel', 'electric'] as const)('is in tune (%s)', (making) => {
    const guitar = waveguideGuitar(3, making, BANK_RATE);
    const detector = PitchDetector.forFloat32Array(8192);
    for (const midi of [40, 52, 64, 76]) {
      const note = guitar(midi, false, BANK_RATE / 2);
      const [hertz] = detector.findPitch(note.subarray(4410, 4410 + 8192), BANK_RATE);
      expect(Math.abs(1200 * Math.log2(hertz / (440 * 2 ** ((midi - 69) / 12))))).toBeLessThan(3);
    }
  });

  it('begins at once', () => {
    const guitar = waveguideGuitar(3, 'steel', BANK_RATE);
    expect(physicalOnset(guitar(52, false, BANK_RATE / 2), BANK_RATE)).toBeLessThan(
      0.01 * BANK_RATE,
    );
  });
});
