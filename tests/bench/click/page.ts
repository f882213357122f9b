// Runs in the bench's page: laps through the real engine offline, and Tone's Transport as the live peer.
import * as Tone from 'tone';
import { onsets, record } from '../../browser/audio/tape.ts';
import { LOUD } from '../../browser/audio/page.ts';
import { meterOf } from '../../../app/core/rhythm/meter.ts';
import type { Feel, Meter } from '../../../app/core/model/chart.ts';
import { frameAt } from '../../../app/core/sound/frames.ts';
import { renderVoice } from '../../../app/core/sound/voices.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import { clickBuffers, clickSounds } from '../../../renderer/audio/click-sounds.ts';
import { buildEngine } from '../../../renderer/audio/engine.ts';
import { LapSources } from '../../../renderer/audio/lap-sources.ts';
import { emptyBars, unitOf } from '../../unit/timeline/examples.ts';

export interface OfflineCase {
  readonly numerator: number;
  readonly unit: Meter['unit'];
  readonly feel: Feel;
  readonly bpm: number;
  readonly rate: number;
  readonly bars: number;
  /** Only clicks from here on are handed over. */
  readonly from: number;
}

export interface OfflineOnsets {
  /** Exact places of the lap's clicks, in quarter notes. */
  readonly places: readonly (readonly [n: number, d: number])[];
  readonly found: readonly number[];
}

/** Renders a lap through engine, sources and ceiling; one sample stands for each voice. */
export async function renderOffline(wanted: OfflineCase): Promise<OfflineOnsets> {
  const meter = meterOf(wanted.numerator, wanted.unit);
  const bar = { feel: wanted.feel, chords: [['G', 0] as const] };
  const lap = buildLap(unitOf(emptyBars(wanted.bars, bar), meter), wanted.bpm, {
    countIn: 'none',
    restBars: 0,
    click: { kind: 'every-beat' },
    subdivision: 4,
    cueBeats: 1,
    markChanges: true,
  });
  const frames = Math.ceil((lap.end + 0.1) * wanted.rate);
  const engine = buildEngine(new OfflineAudioContext(1, frames, wanted.rate), LOUD);
  const buffers = clickBuffers(engine, () => new Float32Array([1]));
  const sounds = clickSounds(lap, buffers).filter((sound) => sound.seconds >= wanted.from);
  new LapSources(engine, sounds, 0);
  const rendered = await (engine.native as OfflineAudioContext).startRendering();
  engine.dispose();
  const places = lap.events.filter((e) => e.seconds >= wanted.from).map((e) => e.at);
  const samples = rendered.getChannelData(0);
  return {
    places: places.map(({ n, d }) => [n, d] as const),
    found: onsets({ sampleRate: wanted.rate, startsAt: 0, samples }),
  };
}

/** Sixteenths from Tone's Transport at its defaults while the main thread stands still for `block` s. */
export async function playTransport(bpm: number, count: number, block: number) {
  const native = new AudioContext({ latencyHint: 'balanced' });
  await native.resume();
  const context = new Tone.Context({ context: native as never });
  Tone.setContext(context, true);
  const click = new AudioBuffer({ length: 1, sampleRate: native.sampleRate });
  click.getChannelData(0).fill(1);
  const out = new GainNode(native);
  out.connect(native.destination);
  const recording = await record(native);
  const transport = Tone.getTransport();
  transport.bpm.value = bpm;
  transport.scheduleRepeat(
    (time) => {
      const source = new AudioBufferSourceNode(native, { buffer: click });
      source.connect(out);
      source.start(time);
    },
    '16n',
    0,
  );
  const startsAt = native.currentTime + 0.35;
  const interval = 60 / bpm / 4;
  transport.start(startsAt).stop(startsAt + (count - 0.5) * interval);
  await new Promise((done) => setTimeout(done, 300));
  const until = performance.now() + block * 1000;
  while (performance.now() < until);
  const tape = await recording.until(startsAt + (count + 4) * interval);
  context.dispose();
  const expected = Array.from({ length: count }, (_, i) =>
    frameAt(startsAt + i * interval, native.sampleRate),
  );
  return { sampleRate: native.sampleRate, expected, found: onsets(tape) };
}

export interface PeerNote {
  readonly seconds: number;
  readonly midi: number;
  /** 0–5. */
  readonly string: number;
}

/** Milliseconds that Tone takes to render the notes on six of its plucked strings. */
export async function renderPlucks(notes: readonly PeerNote[], seconds: number): Promise<number> {
  const start = performance.now();
  await Tone.Offline(
    () => {
      const strings = Array.from({ length: 6 }, () => new Tone.PluckSynth().toDestination());
      for (const { seconds: at, midi, string } of notes) {
        strings[string]!.triggerAttack(Tone.Frequency(midi, 'midi').toFrequency(), at);
      }
    },
    seconds,
    1,
    48_000,
  );
  return performance.now() - start;
}

/** Milliseconds that the browser's offline context takes for one source per click. */
export async function renderClicks(
  times: readonly number[],
  seconds: number,
  rate: number,
): Promise<number> {
  const start = performance.now();
  const context = new OfflineAudioContext(1, Math.ceil(seconds * rate), rate);
  const samples = renderVoice('beat', rate);
  const buffer = context.createBuffer(1, samples.length, rate);
  buffer.getChannelData(0).set(samples);
  for (const at of times) {
    const source = new AudioBufferSourceNode(context, { buffer });
    source.connect(context.destination);
    source.start(at);
  }
  await context.startRendering();
  return performance.now() - start;
}

Object.assign(globalThis, { renderOffline, playTransport, renderPlucks, renderClicks });
