// The ear's own state: it opens one microphone at a time, knows the delay of a pair of devices, and lets go.
import { describe, expect, it } from 'vitest';
import { fail, ok, type Problem } from '../../../../../app/core/base/result.ts';
import { type Settings, usualSettings } from '../../../../../app/services/contract/settings.ts';
import type { Capture, Microphones } from '../../../../../renderer/audio/capture/model.ts';
import {
  lostProblem,
  mutedProblem,
  openingProblem,
} from '../../../../../renderer/audio/capture/problems.ts';
import { Ear } from '../../../../../renderer/state/ear/ear.svelte.ts';
import { FakePlayer } from '../climb/stage.ts';

const AT = '2031-04-05T18:20:00.000+02:00';

const block = (peak: number) => ({ frame: 0, samples: new Float32Array([0, -peak, 0]) });

class World {
  settings: Settings = { ...usualSettings };
  output = 'Headphones';
  mark = '';
  reported = 0.03;
  refuses: string | undefined;
  open = 0;
  #lose: () => void = () => {};
  #change: () => void = () => {};
  readonly #context = Object.defineProperty({}, 'outputLatency', {
    get: () => this.reported,
  }) as AudioContext;

  readonly microphones: Microphones = {
    list: async () => ['Desk', 'Box'],
    inUse: async () => ({ output: this.output, mark: `${this.output} ${this.mark}` }),
    open: async (_, label) =>
      this.refuses ? fail(openingProblem(this.refuses, label)) : ok(this.#capture(label || 'Desk')),
    onDevicesChanged: (_, listener) => ((this.#change = listener), () => {}),
  };
  readonly ear = new Ear({
    microphones: async () => this.microphones,
    player: async () => Object.assign(new FakePlayer(), { context: () => this.#context }),
    measure: async () => ok({ delay: 0.0719, spread: 0.2, accepted: 4, repeats: 4 }),
    settings: () => this.settings,
    write: async (patch) => void (this.settings = { ...this.settings, ...patch }),
    isoNow: () => AT,
  });

  mute: (problem: Problem | null) => void = () => {};
  /** A batch as loud as this. */
  sound: (peak: number) => void = () => {};
  unplug = () => this.#lose();
  exchange = async (output: string, mark = '') => {
    this.output = output;
    this.mark = mark;
    this.#change();
    await Promise.resolve().then(() => Promise.resolve());
  };

  #capture(label: string): Capture {
    this.open += 1;
    return {
      ...{ rate: 48_000, label },
      onBlock: (listener) => ((this.sound = (peak) => listener(block(peak))), () => {}),
      onLost: (listener) => ((this.#lose = () => listener(lostProblem(label))), () => {}),
      onMuted: (listener) => ((this.mute = listener), () => {}),
      branch: () => ({}) as MediaStream,
      close: () => void (this.open -= 1),
    };
  }
}

describe('the microphone', () => {
  it('is opened once, however often it is asked for, and let go', async () => {
    const world = new World();
    await Promise.all([world.ear.listen(), world.ear.listen()]);
    await world.ear.listen();
    expect([world.open, world.ear.open]).toEqual([1, true]);
    world.ear.release();
    expect([world.open, world.ear.open]).toEqual([0, false]);
  });

  it('that cannot be opened leaves its reason', async () => {
    const world = new World();
    world.refuses = 'NotAllowedError';
    expect(await world.ear.listen()).toBeUndefined();
    expect(world.ear.problems).toMatchObject([{ code: 'microphone-refused' }]);
  });

  it('that goes away is closed, and says so', async () => {
    const world = new World();
    await world.ear.listen();
    world.unplug();
    expect(world.ear.open).toBe(false);
    expect(world.ear.problems).toMatchObject([{ code: 'microphone-lost' }]);
  });

  it('that is switched off stays open, says so, and is fine again when it is switched on', async () => {
    const world = new World();
    await world.ear.listen();
    world.mute(mutedProblem('Desk'));
    expect(world.ear.open).toBe(true);
    expect(world.ear.problems).toMatchObject([{ code: 'microphone-muted' }]);
    world.mute(null);
    expect(world.ear.problems).toEqual([]);
  });

  it('shows how loud it is some times a second, by the loudest batch since', async () => {
    const world = new World();
    await world.ear.listen();
    const shown = [0.5, 0, 0, 0, 1, 0, 0, 0].map((peak) => {
      world.sound(peak);
      return world.ear.level.peak;
    });
    expect(shown.slice(0, 3)).toEqual([0, 0, 0]);
    expect(shown[3]).toBeCloseTo(0.5 * 0.9 ** 3, 6);
    expect(shown.slice(4, 7)).toEqual([shown[3], shown[3], shown[3]]);
    expect(shown[7]).toBeCloseTo(0.9 ** 3, 6);
    expect(world.ear.level.clipping).toBe(true);
    world.mute(mutedProblem('Desk'));
    expect(world.ear.level.peak).toBe(0);
    for (let batch = 0; batch < 4; batch++) world.sound(0);
    expect(world.ear.level.peak).toBe(0);
  });

  it('is exchanged while it is open', async () => {
    const world = new World();
    await world.ear.listen();
    await world.ear.choose('Box');
    expect([world.open, world.ear.capture?.label]).toEqual([1, 'Box']);
    expect(world.settings.inputDevice).toBe('Box');
  });
});

describe('the round trip', () => {
  it('is a guess of the output’s own delay and a usual input’s until it is measured', async () => {
    const world = new World();
    await world.ear.listen();
    // 18 ms is the middle of the input delays of 12 to 24 ms seen at openings (WAC 2025).
    expect(world.ear.roundTrip()).toEqual({ seconds: 0.048, measured: false });
  });

  it('is kept for this pair of devices and no other', async () => {
    const world = new World();
    await world.ear.listen();
    await world.ear.measure();
    expect(world.settings.latencies).toEqual([
      { input: 'Desk', output: 'Headphones', milliseconds: 71.9, reported: 30, measuredAt: AT },
    ]);
    expect(world.ear.roundTrip()).toEqual({ seconds: 0.0719, measured: true });
    expect(world.ear.known).toMatchObject({ thisOpening: true });
    await world.ear.choose('Box');
    expect(world.ear.roundTrip().measured).toBe(false);
    await world.ear.choose('Desk');
    expect(world.ear.known).toMatchObject({ milliseconds: 71.9, thisOpening: false });
  });

  const measured = async (): Promise<World> => {
    const world = new World();
    await world.ear.listen();
    await world.ear.measure();
    return world;
  };

  it('is asked for again when the output changes', async () => {
    const world = await measured();
    await world.exchange('Loudspeaker');
    await expect.poll(() => world.ear.devicesChanged).toBe(true);
    expect(world.ear.roundTrip().measured).toBe(false);
  });

  it('of a pair that was measured before holds again when the output comes back', async () => {
    const world = await measured();
    await world.exchange('Loudspeaker');
    await world.exchange('Headphones');
    await expect.poll(() => world.ear.known).toMatchObject({ milliseconds: 71.9 });
    expect(world.ear.roundTrip()).toEqual({ seconds: 0.0719, measured: true });
  });

  it('does not hold for another output that is called the same', async () => {
    const world = await measured();
    await world.exchange('Headphones', 'one more output');
    await expect.poll(() => world.ear.devicesChanged).toBe(true);
    expect(world.ear.known).toBeUndefined();
    await world.ear.measure();
    expect(world.ear.roundTrip()).toEqual({ seconds: 0.0719, measured: true });
  });

  it('does not hold where the output reports another delay than when it was measured', async () => {
    const world = await measured();
    world.reported = 0.045;
    expect(world.ear.roundTrip().measured).toBe(true);
    world.reported = 0.18;
    expect(world.ear.roundTrip()).toMatchObject({ measured: false });
    expect(world.ear.devicesChanged).toBe(true);
  });

  it('is as it was after devices came and went that are not in use', async () => {
    const world = await measured();
    await world.exchange('Headphones');
    expect(world.ear.devicesChanged).toBe(false);
    expect(world.ear.known).toMatchObject({ thisOpening: true });
  });
});
