// A microphone that hears the program's own output after a fixed delay, as a cable from output to input would.
import type { Page } from '@playwright/test';

/** Of the cable; what the browser adds is to be measured. */
export const CABLE_MS = 50;

/** Call it before the page opens. @param louder So many times as loud as it leaves; what is beyond full scale is cut off. */
export async function plugLoopback(page: Page, louder = 1): Promise<void> {
  const plugged = { cable: CABLE_MS, level: louder };
  await page.addInitScript(({ cable, level }) => {
    const connect = AudioNode.prototype.connect;
    const cables = new WeakMap<BaseAudioContext, AudioNode>();
    const gains: GainNode[] = [];
    const streams: MediaStream[] = [];
    let heard: MediaStream | undefined;
    const cableOf = (context: AudioContext): AudioNode => {
      const made = cables.get(context);
      if (made) return made;
      const delay = new DelayNode(context, { delayTime: cable / 1000, maxDelayTime: 1 });
      const out = new MediaStreamAudioDestinationNode(context);
      const gain = new GainNode(context, { gain: level });
      gains.push(gain);
      const clip = new WaveShaperNode(context, { curve: new Float32Array([-1, 1]) });
      [delay, gain, clip, out].reduce((from, to) => (connect.call(from, to as never), to) as never);
      cables.set(context, delay);
      heard = out.stream;
      return delay;
    };
    AudioNode.prototype.connect = function (this: AudioNode, ...args: unknown[]) {
      const { context } = this;
      if (args[0] === context.destination && context instanceof AudioContext) {
        connect.call(this, cableOf(context) as never);
      }
      return connect.apply(this, args as never) as never;
    } as never;
    navigator.mediaDevices.getUserMedia = () => {
      if (!heard) return Promise.reject(new DOMException('no cable', 'NotFoundError'));
      streams.push(heard.clone());
      return Promise.resolve(streams.at(-1)!);
    };
    /** What a browser does when a device goes away: it ends the tracks and says so. */
    const unplug = () =>
      streams
        .flatMap((stream) => stream.getAudioTracks())
        .filter((track) => track.readyState === 'live')
        .forEach((track) => (track.stop(), track.dispatchEvent(new Event('ended'))));
    /** What it does when a key of the machine switches the microphone off or on. */
    const switchOff = (muted: boolean) =>
      streams
        .flatMap((stream) => stream.getAudioTracks())
        .forEach((track) => {
          Object.defineProperty(track, 'muted', { value: muted, configurable: true });
          track.dispatchEvent(new Event(muted ? 'mute' : 'unmute'));
        });
    const live = () =>
      streams.flatMap((s) => s.getAudioTracks()).filter((t) => t.readyState === 'live').length;
    const setLevel = (to: number) => gains.forEach(({ gain }) => (gain.value = to));
    Object.assign(globalThis, { unplug, switchOff, setLevel, liveMicrophones: live });
  }, plugged);
}

declare const unplug: () => void;
declare const switchOff: (muted: boolean) => void;
declare const setLevel: (to: number) => void;
declare const liveMicrophones: () => number;

export const unplugLoopback = (page: Page): Promise<void> => page.evaluate(() => unplug());
export const muteLoopback = (page: Page, muted: boolean): Promise<void> =>
  page.evaluate((off) => switchOff(off), muted);
/** From now on it hears so many times as loud as it leaves. */
export const setLoopbackLevel = (page: Page, louder: number): Promise<void> =>
  page.evaluate((to) => setLevel(to), louder);
/** How many microphones the page holds open. */
export const openMicrophones = (page: Page): Promise<number> =>
  page.evaluate(() => liveMicrophones());
