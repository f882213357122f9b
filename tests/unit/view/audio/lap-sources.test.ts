// A lap in the hands of the audio engine: long ones go over in stretches, always one ahead.
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { Engine } from '../../../../renderer/audio/engine.ts';
import { LapSources, STRETCH, type Sound } from '../../../../renderer/audio/lap-sources.ts';

/** Stands for an AudioBufferSourceNode and notes what it is told. */
class FakeSource {
  static made: FakeSource[] = [];
  startsAt = Number.NaN;
  stopsAt: number | undefined;
  connected = false;
  onended = () => {};

  constructor() {
    FakeSource.made.push(this);
  }
  connect() {
    this.connected = true;
  }
  disconnect() {
    this.connected = false;
  }
  start(at: number) {
    this.startsAt = at;
  }
  stop(at = 0) {
    this.stopsAt = at;
  }
}

const engine = { native: { sampleRate: 48_000 }, input: () => ({}) } as unknown as Engine;
const sounds = (seconds: readonly number[]): Sound[] =>
  seconds.map((s) => ({ seconds: s, level: 'beat', buffer: () => ({}) as AudioBuffer }));
const starts = () => FakeSource.made.map((source) => source.startsAt);

beforeEach(() => {
  FakeSource.made = [];
  vi.stubGlobal('AudioBufferSourceNode', FakeSource);
});
afterEach(() => vi.unstubAllGlobals());

describe('LapSources', () => {
  it('rounds every sound to a sample once', () => {
    new LapSources(engine, sounds([0, 1 / 3]), 10);
    expect(starts()).toEqual([10, Math.round((10 + 1 / 3) * 48_000) / 48_000]);
  });

  it('hands a lap of less than two stretches over as a whole', () => {
    new LapSources(engine, sounds([0, STRETCH, 2 * STRETCH - 1]), 0);
    expect(starts()).toHaveLength(3);
  });

  it('has a whole stretch in hand whenever one has been heard', () => {
    new LapSources(engine, sounds([0, 1, 21, 41, 61]), 100);
    expect(starts()).toEqual([100, 101, 121]);
    FakeSource.made[1]!.onended();
    expect(starts()).toEqual([100, 101, 121, 141]);
    FakeSource.made[2]!.onended();
    expect(starts()).toEqual([100, 101, 121, 141, 161]);
  });

  it('cancels what has not begun, also what was still to be handed over', () => {
    const lap = new LapSources(engine, sounds([0, 1, 21, 41]), 0);
    lap.cancel(1);
    expect(FakeSource.made.map((s) => s.connected)).toEqual([true, false, false]);
    FakeSource.made[1]!.onended();
    expect(starts()).toHaveLength(3);
  });

  it('ends what sounds at the moment asked for', () => {
    const lap = new LapSources(engine, sounds([0, 1, 3]), 0);
    lap.end(2);
    expect(FakeSource.made.map((s) => s.stopsAt)).toEqual([2, 2, 0]);
  });
});
