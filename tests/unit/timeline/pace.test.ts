// Tempo that changes inside a unit: gradual changes beat by beat, held beats, and everything that reads them.
import { describe, expect, test } from 'vitest';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import { BARE_LAP } from '../../../app/core/timeline/bare-lap.ts';
import { secondsInBar } from '../../../app/core/timeline/tempo-map.ts';
import { rational } from '../../../app/core/base/rational.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import type { Unit, UnitRef } from '../../../app/core/model/unit.ts';

const unitOf = (bars: string, head = '', ref: UnitRef = { kind: 'section', section: 'V' }): Unit =>
  unwrap(resolveUnit(unwrap(parseChart(`title: T\ntempo: ♩ = 60\n${head}[V]\n${bars}`)), ref));

/** Lengths of the beats in seconds, to the microsecond. */
function beatLengths(unit: Unit, bpm = 60): number[] {
  const { beats, end } = buildLap(unit, bpm, BARE_LAP);
  return beats.map((beat, i) => Math.round(((beats[i + 1] ?? end) - beat) * 1e6) / 1e6);
}

const at = (...bpms: number[]): number[] => bpms.map((bpm) => Math.round((60 / bpm) * 1e6) / 1e6);

describe('a gradual change moves evenly from beat to beat and arrives in the last one', () => {
  test('rit. to half the tempo over one bar', () => {
    expect(beatLengths(unitOf('| rit. = 30 G |'))).toEqual(at(52.5, 45, 37.5, 30));
  });

  test('over two bars, then a tempo', () => {
    expect(beatLengths(unitOf('| accel. = 140 G | D | a tempo C |'))).toEqual(
      at(70, 80, 90, 100, 110, 120, 130, 140, 60, 60, 60, 60),
    );
  });

  test('it ends with the section', () => {
    const form = 'title: T\ntempo: 60\n[V]\n| G | rit. = 30 D |\n[W]\n| G |\n';
    const unit = unwrap(resolveUnit(unwrap(parseChart(form)), { kind: 'form' }));
    expect(beatLengths(unit).slice(8)).toEqual(at(60, 60, 60, 60));
  });

  test('without a tempo to go to: three quarters, four thirds', () => {
    expect(beatLengths(unitOf('| rit. G |')).at(-1)).toBeCloseTo(60 / 45, 6);
    expect(beatLengths(unitOf('| accel. G |')).at(-1)).toBeCloseTo(60 / 80, 6);
  });

  test('every rung scales it in proportion', () => {
    const unit = unitOf('| rit. = 30 G |');
    const slow = beatLengths(unit, 60);
    expect(beatLengths(unit, 120)).toEqual(slow.map((s) => Math.round((s / 2) * 1e6) / 1e6));
  });

  test('a unit that begins inside it plays its part of it', () => {
    const ref: UnitRef = { kind: 'bars', section: 'V', from: 2, to: 2 };
    expect(beatLengths(unitOf('| accel. = 140 G | D |', '', ref))).toEqual(at(110, 120, 130, 140));
  });

  test('in 6/8 the dotted quarters move', () => {
    const unit = unitOf('| rit. = 30 G |', 'meter: 6/8\n');
    expect(beatLengths(unit)).toEqual([1.5 / (45 / 60), 1.5 / (30 / 60)]);
  });
});

describe('a fermata', () => {
  test.each([
    ['| G / / D fermata |', [1, 1, 1, 2]],
    ['| G fermata |', [1, 1, 1, 2]],
    ['| G / fermata D / |', [1, 2, 1, 1]],
    ['| G D fermata +3 |', [1, 1, 1, 4]],
    ['| G | % fermata |', [1, 1, 1, 1, 1, 1, 1, 2]],
    ['| pickup 1/4 G fermata | D |', [2, 1, 1, 1, 1]],
    ['| rit. = 30 G / / D fermata |', [...at(52.5, 45, 37.5), 4]],
  ])('%s', (bars, lengths) => {
    expect(beatLengths(unitOf(bars))).toEqual(lengths);
  });
});

test('a place inside such a bar has one time', () => {
  const lap = buildLap(unitOf('| rit. = 30 G | a tempo D |'), 60, BARE_LAP);
  const [first, second] = lap.bars;
  expect(secondsInBar(first!, rational(4))).toBeCloseTo(second!.seconds, 12);
  expect(secondsInBar(first!, rational(1, 2))).toBeCloseTo(0.5 * (60 / 52.5), 12);
  expect(lap.end).toBeCloseTo(secondsInBar(second!, rational(4)), 12);
});
