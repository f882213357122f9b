// Every way in which the sound can fail is told once: suspension, device, clock, underrun.
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import type { PlayerTrouble } from '../../../../renderer/audio/player.ts';
import { watchForTrouble } from '../../../../renderer/audio/trouble.ts';

class FakeContext extends EventTarget {
  state = 'running';
  currentTime = 0;
  playbackStats = { underrunDuration: 0 };

  turn(state: string) {
    this.state = state;
    this.dispatchEvent(new Event('statechange'));
  }
}

class FakeDevices extends EventTarget {
  outputs = [{ kind: 'audiooutput', deviceId: 'default', groupId: 'speaker', label: '' }];
  enumerateDevices = async () => this.outputs;
}

let context: FakeContext;
let devices: FakeDevices;
let told: PlayerTrouble[];
let end: () => void;

beforeEach(async () => {
  vi.useFakeTimers();
  context = new FakeContext();
  devices = new FakeDevices();
  vi.stubGlobal('navigator', { mediaDevices: devices });
  told = [];
  end = watchForTrouble(context as unknown as AudioContext, (t) => told.push(t));
  await vi.advanceTimersByTimeAsync(0);
});
afterEach(() => {
  end();
  vi.unstubAllGlobals();
  vi.useRealTimers();
});

/** Lets the page's time go on with the audio clock running beside it at `rate`. */
async function run(milliseconds: number, rate = 1) {
  for (let t = 0; t < milliseconds; t += 100) {
    context.currentTime += (rate * 100) / 1000;
    await vi.advanceTimersByTimeAsync(100);
  }
}

it('is silent while all is well', async () => {
  await run(5_000);
  expect(told).toEqual([]);
});

it('tells a suspension', () => {
  context.turn('suspended');
  context.turn('interrupted');
  expect(told.map((t) => t.kind)).toEqual(['suspended', 'suspended']);
});

it('tells a lost device: closed, failed, or another default output; not that the output was chosen', async () => {
  context.turn('closed');
  context.dispatchEvent(new Event('error'));
  // Web Audio API 1.1: it tells that the program's own setSinkId is done.
  context.dispatchEvent(new Event('sinkchange'));
  devices.outputs = [{ ...devices.outputs[0]!, groupId: 'headphones' }];
  devices.dispatchEvent(new Event('devicechange'));
  await vi.advanceTimersByTimeAsync(0);
  expect(told.map((t) => t.kind)).toEqual(Array(3).fill('device-lost'));
});

it('does not take a new microphone for a lost output', async () => {
  devices.outputs.push({ kind: 'audioinput', deviceId: 'x', groupId: 'microphone', label: '' });
  devices.dispatchEvent(new Event('devicechange'));
  await vi.advanceTimersByTimeAsync(0);
  expect(told).toEqual([]);
});

it('tells a clock that stands still although the context says it runs, once', async () => {
  await run(2_000);
  await run(4_000, 0);
  expect(told.map((t) => t.kind)).toEqual(['clock-stopped']);
});

it('does not mistake a suspended clock for a stopped one', async () => {
  context.state = 'suspended';
  await run(4_000, 0);
  expect(told).toEqual([]);
});

it('tells an underrun with its length', async () => {
  await run(1_000);
  context.playbackStats = { underrunDuration: 0.012 };
  await run(1_000);
  expect(told).toEqual([expect.objectContaining({ kind: 'underrun', lost: 0.012 })]);
});

it('tells nothing any more once ended', async () => {
  end();
  context.turn('suspended');
  await run(4_000, 0);
  expect(told).toEqual([]);
});
