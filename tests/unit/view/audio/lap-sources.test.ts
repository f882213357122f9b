// A lap in the hands of the audio engine: long ones go over in stretches, always one ahead.
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { Engine } from '../../../../renderer/audio/engine.ts';
import {
  IN_HAND,
  LapSources,
  STRETCH,
  type TimedSound,
} from '../../../../renderer/audio/lap-sources.ts';

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
const sounds = (seconds: readonly number[]): TimedSound[] =>
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

  it('hands a lap that lasts no longer than what is kept in hand over as a whole', () => {
    new LapSources(engine, sounds([0, STRETCH, IN_HAND * STRETCH - 1]), 0);
    expect(starts()).toHaveLength(3);
  });

  it('has as many stretches in hand as before whenever one has been heard', () => {
    const all = Array.from({ length: IN_HAND + 2 }, (_, i) => i * STRETCH);
    new LapSources(engine, sounds([0, ...all]), 100);
    expect(starts()).toHaveLength(IN_HAND + 1);
    FakeSource.made[1]!.onended();
    expect(starts().at(-1)).toBe(100 + IN_HAND * STRETCH);
    FakeSource.made[2]!.onended();
    expect(starts().at(-1)).toBe(100 + (IN_HAND + 1) * STRETCH);
  });

  it('cancels what has not begun, also what was still to be handed over', () => {
    const later = Array.from({ length: IN_HAND + 1 }, (_, i) => i * STRETCH);
    const lap = new LapSources(engine, sounds([0, ...later]), 0);
    lap.cancel(1);
    expect(FakeSource.made.map((s) => s.connected).slice(0, 4)).toEqual([true, true, false, false]);
    FakeSource.made[1]!.onended();
    expect(starts()).toHaveLength(IN_HAND + 1);
  });

  it('ends what sounds at the moment asked for', () => {
    const lap = new LapSources(engine, sounds([0, 1, 3]), 0);
    lap.end(2);
    expect(FakeSource.made.map((s) => s.stopsAt)).toEqual([2, 2, 0]);
  });
});
