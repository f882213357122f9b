// Keeps what the microphone delivers, so that any stretch of it can be taken out by its frames.
import type { Samples } from '../../../app/core/base/units.ts';
import type { Capture, SoundBlock } from './model.ts';

export class Tape {
  #blocks: SoundBlock[] = [];
  #ended = false;
  readonly #leave: readonly (() => void)[];
  #waiting: { readonly to: Samples; readonly done: () => void } | undefined;

  constructor(capture: Pick<Capture, 'onBlock' | 'onLost'>) {
    this.#leave = [capture.onBlock(this.#take), capture.onLost(() => this.end())];
  }

  /** Frames kept so far, from the first to the one after the last. */
  get range(): readonly [from: Samples, to: Samples] {
    const last = this.#blocks.at(-1);
    return last ? [this.#blocks[0]!.frame, last.frame + last.samples.length] : [0, 0];
  }

  /** Waits until `to` is reached; undefined when the microphone went before. Holes are silence. */
  async between(from: Samples, to: Samples): Promise<Float32Array<ArrayBuffer> | undefined> {
    if (!this.#ended && this.range[1] < to) {
      await new Promise<void>((done) => (this.#waiting = { to, done }));
    }
    return this.range[1] < to ? undefined : this.#cut(from, to);
  }

  /** All that was kept. */
  whole(): Float32Array<ArrayBuffer> {
    return this.#cut(...this.range);
  }

  end(): void {
    this.#ended = true;
    for (const leave of this.#leave) leave();
    this.#waiting?.done();
  }

  #take = (block: SoundBlock): void => {
    this.#blocks.push(block);
    if (this.#waiting && this.range[1] >= this.#waiting.to) this.#waiting.done();
  };

  #cut(from: Samples, to: Samples): Float32Array<ArrayBuffer> {
    const out = new Float32Array(to - from);
    for (const { frame, samples } of this.#blocks) {
      const skip = Math.max(0, from - frame);
      const part = samples.subarray(skip, Math.max(skip, to - frame));
      if (part.length > 0) out.set(part, frame + skip - from);
    }
    return out;
  }
}
