// The microphones of this machine through the browser: no processing, one channel, timed by the audio clock.
import { fail, ok, type Problem, type Result } from '../../../app/core/base/result.ts';
import type { Capture, DevicesInUse, Microphones, SoundBlock } from './model.ts';
import {
  goneProblem,
  lostProblem,
  mutedProblem,
  openingProblem,
  outputChanged,
  tapProblem,
} from './problems.ts';
import tapAddress from './tap.ts?worker&url';

/** Whatever would make a guitar sound like a telephone, and its timing uncertain, is off. */
const RAW = { echoCancellation: false, noiseSuppression: false, autoGainControl: false };

export const browserMicrophones: Microphones = { list, inUse, open, onDevicesChanged };

const media = (): MediaDevices | undefined => navigator.mediaDevices as MediaDevices | undefined;

async function devices(kind: MediaDeviceKind): Promise<readonly MediaDeviceInfo[]> {
  const all = (await media()?.enumerateDevices()) ?? [];
  return all.filter((device) => device.kind === kind && device.label !== '');
}

async function list(): Promise<readonly string[]> {
  const named = (await devices('audioinput')).filter((d) => d.deviceId !== 'default');
  return [...new Set(named.map((d) => d.label))];
}

async function inUse(context: AudioContext, input: string): Promise<DevicesInUse> {
  const [outputs, inputs] = [await devices('audiooutput'), await devices('audioinput')];
  const chosen = sinkOf(context);
  const used =
    chosen === ''
      ? (outputs.find(isUsual) ?? outputs[0])
      : outputs.find((d) => d.deviceId === chosen);
  const heard = inputs.find((d) => isUsual(d) && d.label === input);
  // The system's usual one may be another though it is called as before, where outputs come or go.
  const others = chosen === '' ? outputs.map((d) => d.deviceId).toSorted() : [];
  const mark = [nameOf(used), nameOf(heard), ...others].join(' ');
  return { output: used?.label ?? '', mark };
}

const isUsual = (device: MediaDeviceInfo): boolean => device.deviceId === 'default';

const nameOf = (device: MediaDeviceInfo | undefined): string =>
  device ? `${device.groupId}/${device.label}` : '–';

/** The output that the program chose; '' is the system's usual one. */
function sinkOf(context: AudioContext): string {
  const { sinkId } = context as AudioContext & { readonly sinkId?: unknown };
  return typeof sinkId === 'string' ? sinkId : '';
}

function onDevicesChanged(context: AudioContext, listener: () => void): () => void {
  media()?.addEventListener('devicechange', listener);
  context.addEventListener('sinkchange', listener);
  return () => {
    media()?.removeEventListener('devicechange', listener);
    context.removeEventListener('sinkchange', listener);
  };
}

async function open(context: AudioContext, label: string): Promise<Result<Capture>> {
  const stream = await streamOf(label);
  if (!stream.ok) return stream;
  try {
    await tapOf(context);
    return ok(new LiveCapture(context, stream.value));
  } catch {
    taps.delete(context);
    release(stream.value);
    return fail(tapProblem);
  }
}

async function streamOf(label: string): Promise<Result<MediaStream>> {
  const first = await ask(await idOf(label), label);
  if (!first.ok || label === '' || labelOf(first.value) === label) return first;
  // Labels are known only once a microphone was allowed, so the right one can be found now.
  release(first.value);
  const id = await idOf(label);
  return id === undefined ? fail(goneProblem(label)) : ask(id, label);
}

const idOf = async (label: string): Promise<string | undefined> =>
  label === '' ? undefined : (await devices('audioinput')).find((d) => d.label === label)?.deviceId;

async function ask(id: string | undefined, label: string): Promise<Result<MediaStream>> {
  const asked = media();
  if (!asked) return fail(openingProblem('NotFoundError', label));
  const device = id === undefined ? {} : { deviceId: { exact: id } };
  try {
    return ok(await asked.getUserMedia({ audio: { ...RAW, channelCount: 1, ...device } }));
  } catch (error) {
    return fail(openingProblem(error instanceof Error ? error.name : '', label));
  }
}

const labelOf = (stream: MediaStream): string => stream.getAudioTracks()[0]?.label ?? '';

const release = (stream: MediaStream): void => stream.getTracks().forEach((track) => track.stop());

const taps = new WeakMap<AudioContext, Promise<void>>();

/** Loads the worklet into a context once. */
function tapOf(context: AudioContext): Promise<void> {
  const loaded = taps.get(context) ?? context.audioWorklet.addModule(tapAddress);
  taps.set(context, loaded);
  return loaded;
}

class LiveCapture implements Capture {
  readonly rate: number;
  readonly label: string;
  readonly #stream: MediaStream;
  readonly #source: MediaStreamAudioSourceNode;
  readonly #tap: AudioWorkletNode;
  readonly #blocks = new Set<(block: SoundBlock) => void>();
  readonly #losses = new Set<(problem: Problem) => void>();
  readonly #mutings = new Set<(muted: Problem | null) => void>();

  constructor(context: AudioContext, stream: MediaStream) {
    this.rate = context.sampleRate;
    this.label = labelOf(stream);
    this.#stream = stream;
    this.#source = context.createMediaStreamSource(stream);
    this.#tap = new AudioWorkletNode(context, 'microphone-tap', {
      channelCount: 1,
      channelCountMode: 'explicit',
    });
    const [track] = stream.getAudioTracks();
    this.#tap.port.onmessage = ({ data }: MessageEvent<SoundBlock>) =>
      track?.muted ? undefined : this.#blocks.forEach((listener) => listener(data));
    // The tap writes nothing to its output, but a node that leads nowhere might not be run.
    this.#source.connect(this.#tap).connect(context.destination);
    track?.addEventListener('ended', () => this.#lose(lostProblem(this.label)));
    track?.addEventListener('mute', () => this.#tellMuted(mutedProblem(this.label)));
    track?.addEventListener('unmute', () => this.#tellMuted(null));
    context.addEventListener(
      'statechange',
      () => context.state === 'closed' && this.#lose(outputChanged),
    );
  }

  onBlock(listener: (block: SoundBlock) => void): () => void {
    this.#blocks.add(listener);
    return () => this.#blocks.delete(listener);
  }

  onLost(listener: (problem: Problem) => void): () => void {
    this.#losses.add(listener);
    return () => this.#losses.delete(listener);
  }

  onMuted(listener: (muted: Problem | null) => void): () => void {
    this.#mutings.add(listener);
    return () => this.#mutings.delete(listener);
  }

  branch = (): MediaStream => this.#stream.clone();

  close(): void {
    this.#losses.clear();
    this.#mutings.clear();
    this.#blocks.clear();
    this.#tap.port.onmessage = null;
    this.#source.disconnect();
    this.#tap.disconnect();
    release(this.#stream);
  }

  #tellMuted(muted: Problem | null): void {
    this.#mutings.forEach((listener) => listener(muted));
  }

  #lose(problem: Problem): void {
    const told = [...this.#losses];
    this.close();
    for (const tell of told) tell(problem);
  }
}
