// The truth of the part that is played at home: enough of every fault, faults that are faults, strings in tune, levels.
import { describe, expect, it } from 'vitest';
import type { Hertz, Midi } from '../../../app/core/base/units.ts';
import { BANK_RATE, physicalOnset, type StringModel } from '../../bench/ear-set/bank.ts';
import { dice } from '../../bench/ear-set/random.ts';
import { throughTransistors } from '../../bench/fresh-set/fresh-d/amplifier.ts';
import { gridGuitar } from '../../bench/fresh-set/fresh-d/grid-string.ts';
import { noiseAtHome, type NoiseAtHome } from '../../bench/fresh-set/fresh-d/noises.ts';
import { ROOMS_AT_HOME } from '../../bench/fresh-set/fresh-d/rooms.ts';
import type { FreshPlan, TrueChange } from '../../bench/fresh-set/model.ts';
import { planTake } from '../../bench/fresh-set/plan.ts';
import { recorded } from '../../bench/fresh-set/rooms.ts';
import { cellsOf } from '../../bench/fresh-set/set.ts';

const plans = cellsOf('fresh-d').map(planTake);
const changes = plans.flatMap((plan) => plan.changes);
const count = (...deeds: TrueChange['deed'][]): number =>
  changes.filter(({ deed }) => deeds.includes(deed)).length;

describe('how much there is of everything', () => {
  it.each([
    ['right', count('right'), 1_500],
    ['wrong chords', count('swap', 'held', 'silent', 'muted', 'other'), 300],
    ['lone dead strings', count('tone-lost'), 120],
    ['half-pressed strings', count('half-pressed'), 60],
    ['colours and tones too many', count('colour', 'extra', 'no-seventh'), 120],
    ['late by 60 ms', changes.filter(isLate).length, 100],
    ['slash chords', plans.filter(({ text }) => /\| .*\//.test(text)).length, 60],
    ['turned round', plans.filter(({ hand }) => hand.turned).length, 10],
    ['by symbols alone', plans.filter(({ shapesKnown }) => !shapesKnown).length, 12],
  ])('%s: %i, at least %i', (_, found, least) => expect(found).toBeGreaterThanOrEqual(least));

  it('goes from 40 to 220 bpm, over every capo and every meter', () => {
    const bpms = plans.map(({ setting }) => setting.bpm);
    expect([Math.min(...bpms), Math.max(...bpms)]).toEqual([40, 220]);
    expect(new Set(plans.map(({ setting }) => setting.capo)).size).toBe(8);
    expect(new Set(plans.map(({ setting }) => setting.meter)).size).toBe(3);
  });
});

function isLate({ deed, played, due }: TrueChange): boolean {
  return deed === 'right' && played !== null && played - due >= 0.06;
}

/** Pitch classes that truly sound at a change's first stroke, from strings that neither thud nor die. */
function tonesAt({ sounding, hand }: FreshPlan, { played, until }: TrueChange): string {
  const end = Math.min(until, played! + 1.1 * hand.spread + 0.001);
  const first = sounding.filter(({ at }) => at > played! - 1e-6 && at < end);
  return tones(first.filter(({ thud }) => thud === 0).map(({ midi }) => midi));
}

const tones = (of: readonly (Midi | null)[]): string =>
  [...new Set(of.flatMap((midi) => (midi === null ? [] : [midi % 12])))].toSorted().join();

describe('what sounds', () => {
  it('is the chord that is due wherever it is right', () => {
    for (const plan of plans) {
      for (const change of plan.changes.filter(({ deed }) => deed === 'right')) {
        expect(`${plan.id} ${tonesAt(plan, change)}`).toBe(
          `${plan.id} ${tones(change.to.strings)}`,
        );
      }
    }
  });

  it('is another wherever it is not', () => {
    for (const plan of plans) {
      for (const change of plan.changes.filter((c) => c.deed !== 'right' && c.played !== null)) {
        expect(tonesAt(plan, change), plan.id).not.toBe(tones(change.to.strings));
      }
    }
  });

  it('begins at the moment that is called its beginning', () => {
    for (const { sounding, changes: all } of plans) {
      for (const { played, until } of all) {
        if (played === null) continue;
        const near = sounding.filter(
          ({ at }) => at > played - 0.03 && at < Math.min(until, played + 0.03),
        );
        expect(Math.min(...near.map(({ at }) => at))).toBeCloseTo(played, 6);
      }
    }
  });

  it('begins with the highest string where a guitar is turned round and the stroke goes down', () => {
    const turned = plans.filter(({ hand }) => hand.turned && hand.style === 'usual');
    expect(turned.length).toBeGreaterThan(0);
    for (const plan of turned) {
      const at = plan.changes.find(({ deed, due }) => {
        const stroke = plan.expectation.strokes.find((s) => Math.abs(s.at - due) < 1e-6);
        return deed === 'right' && stroke?.direction === 'down';
      });
      if (!at) continue;
      const first = plan.sounding.find(({ at: begins }) => Math.abs(begins - at.played!) < 1e-9);
      expect(first?.string).toBe(at.to.strings.findLastIndex((midi) => midi !== null));
    }
  });
});

/** How much of one frequency there is, seen through a Hann window. */
function sizeAt(x: Float32Array, hertz: Hertz): number {
  let [re, im] = [0, 0];
  x.forEach((y, i) => {
    const seen = y * (1 - Math.cos((2 * Math.PI * i) / x.length));
    re += seen * Math.cos((2 * Math.PI * hertz * i) / BANK_RATE);
    im += seen * Math.sin((2 * Math.PI * hertz * i) / BANK_RATE);
  });
  return Math.hypot(re, im) / x.length;
}

/** Cents by which the fundamental itself lies beside the pitch: stiff strings sound a little higher than that. */
function centsOff(guitar: StringModel, midi: Midi): number {
  const note = guitar(midi, false, BANK_RATE / 2).subarray(2_000);
  const hertz = 440 * 2 ** ((midi - 69) / 12);
  const cents = Array.from({ length: 41 }, (_, i) => i - 20);
  const sizes = cents.map((c) => sizeAt(note, hertz * 2 ** (c / 1200)));
  return cents[sizes.indexOf(Math.max(...sizes))]!;
}

describe('a string on a grid', () => {
  it.each([true, false])('is in tune (electric: %s)', (electric) => {
    const guitar = gridGuitar(3, electric, BANK_RATE);
    for (const midi of [40, 52, 64, 76])
      expect(Math.abs(centsOff(guitar, midi))).toBeLessThanOrEqual(1);
  });

  it('begins at once, and falls silent', () => {
    const note = gridGuitar(3, false, BANK_RATE)(64, false, 3 * BANK_RATE);
    expect(physicalOnset(note, BANK_RATE)).toBeLessThan(0.01 * BANK_RATE);
    expect(rms(note.subarray(2.5 * BANK_RATE))).toBeLessThan(0.01 * rms(note.subarray(0, 4410)));
  });
});

const rms = (x: Float32Array): number => Math.sqrt(x.reduce((sum, y) => sum + y * y, 0) / x.length);

const tone = Float32Array.from({ length: BANK_RATE }, (_, i) =>
  Math.sin((2 * Math.PI * 220 * i) / BANK_RATE),
);

describe('rooms at home', () => {
  const { expectation } = plans[0]!;
  const kinds = Object.values(ROOMS_AT_HOME).map(({ beside }) => beside.kind);

  it.each([...new Set<NoiseAtHome>(kinds)])(
    'sounds throughout, and the same for the same seed: %s',
    (kind) => {
      const make = () => noiseAtHome(kind, dice(5), 4 * BANK_RATE, expectation);
      const noise = make();
      expect(make()).toEqual(noise);
      expect(noise.every(Number.isFinite)).toBe(true);
      expect(rms(noise)).toBeGreaterThan(1e-4);
    },
  );

  it.each(Object.keys(ROOMS_AT_HOME) as (keyof typeof ROOMS_AT_HOME)[])(
    'never clips: %s',
    (room) => {
      const sound = recorded(tone, { room, expectation }, dice(7), '');
      const most = sound.reduce((top, x) => Math.max(top, Math.abs(x)), 0);
      expect(most).toBeGreaterThan(10 ** (-18.1 / 20));
      expect(most).toBeLessThan(10 ** (-2.9 / 20));
    },
  );
});

it('bends what is loud, and leaves what is soft', () => {
  const loud = throughTransistors(tone, 8);
  const soft = throughTransistors(tone, 0.05);
  const third = (x: Float32Array) => sizeAt(x, 660) / sizeAt(x, 220);
  expect(third(soft)).toBeLessThan(0.001);
  expect(third(loud)).toBeGreaterThan(0.1);
});
