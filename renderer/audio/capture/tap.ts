// Runs on the audio thread: hands on what the microphone delivers, in batches that say at which frame they began.
// It is built into a file of its own, since a worklet must be loaded from an address the content policy allows.
import type { SoundBlock } from './model.ts';

/** What the audio thread offers, as far as it is needed here: TypeScript's own libraries leave it out. */
declare class AudioWorkletProcessor {
  readonly port: { postMessage(batch: SoundBlock, move: Transferable[]): void };
}
declare const currentFrame: number;
declare function registerProcessor(name: string, processor: new () => AudioWorkletProcessor): void;

/** 21 ms at 48 kHz: little to wait for, and some 47 messages a second. */
const BATCH = 1024;
/** Frames of one call, by the Web Audio API. */
const QUANTUM = 128;

class Tap extends AudioWorkletProcessor {
  #batch = new Float32Array(BATCH);
  #filled = 0;
  #from = 0;

  process([[channel]]: [[Float32Array | undefined]]): boolean {
    // A browser may leave out a quantum of a node: a batch has no holes, so it ends there.
    if (currentFrame !== this.#from + this.#filled) this.#hand();
    if (this.#filled === 0) this.#from = currentFrame;
    if (channel) this.#batch.set(channel, this.#filled);
    this.#filled += QUANTUM;
    if (this.#filled === BATCH) this.#hand();
    return true;
  }

  #hand(): void {
    if (this.#filled > 0) {
      const samples = this.#batch.slice(0, this.#filled);
      this.port.postMessage({ frame: this.#from, samples }, [samples.buffer]);
      this.#batch.fill(0);
    }
    this.#filled = 0;
  }
}

registerProcessor('microphone-tap', Tap);
