// The ear's own state in the view: is it wanted, is the microphone open, and what stands in the way.
import type { Problem } from '../../app/core/result.ts';
import type { Capture, Microphones, SoundLevel } from '../audio/capture/model.ts';

const SILENCE: SoundLevel = { peak: 0, rms: 0, clipping: false };

export class Ear {
  readonly #microphones: Microphones;
  #capture = $state.raw<Capture | null>(null);
  #problems = $state.raw<readonly Problem[]>([]);
  #level = $state.raw<SoundLevel>(SILENCE);

  constructor(microphones: Microphones) {
    this.#microphones = microphones;
  }

  /** Is the microphone open? Shown wherever the player looks. */
  get open(): boolean {
    return this.#capture !== null;
  }
  get problems(): readonly Problem[] {
    return this.#problems;
  }
  get level(): SoundLevel {
    return this.#level;
  }
}
