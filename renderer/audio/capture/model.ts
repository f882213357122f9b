// What the view may ask of the microphone: open it, hear sound with its time, know of trouble, let it go.
import type { Problem, Result } from '../../../app/core/base/result.ts';
import type { SampleRate, Samples } from '../../../app/core/base/units.ts';

/** Sound as it came in, one channel, with the audio clock's frame at which it was delivered. */
export interface SoundBlock {
  readonly frame: Samples;
  readonly samples: Float32Array;
}

/** An open microphone. Only {@link close} and the loss of the device end it. */
export interface Capture {
  readonly rate: SampleRate;
  /** What the machine calls the device that was opened. */
  readonly label: string;
  /** Returns the function that ends the listening. */
  onBlock(listener: (block: SoundBlock) => void): () => void;
  /** The device went away or was taken from us; the capture is closed by then. */
  onLost(listener: (problem: Problem) => void): () => void;
  /**
   * It was switched off, by a key of the machine or another program, or on again; meanwhile no sound is delivered, so that
   * nobody's silence is taken for the player's.
   */
  onMuted(listener: (muted: Problem | null) => void): () => void;
  /** The same microphone as a stream of its own, which lives on when this is closed: who takes it ends it. */
  branch(): MediaStream;
  close(): void;
}

export interface DevicesInUse {
  /** Label of the output; '' where the browser does not tell. */
  readonly output: string;
  /** Another one: other devices may be in use, even under the same labels. */
  readonly mark: string;
}

export interface Microphones {
  /** Labels of the microphones; empty until the player has allowed one. */
  list(): Promise<readonly string[]>;
  /** What sound leaves and comes in by. @param input Label of the microphone that is open. */
  inUse(context: AudioContext, input: string): Promise<DevicesInUse>;
  /**
   * Opens the microphone of that label, '' being the system's own choice.
   * Fails with 'no-microphone', 'microphone-refused', 'microphone-busy' or 'microphone-gone'.
   */
  open(context: AudioContext, label: string): Promise<Result<Capture>>;
  /** A device came or went, or the sound was sent elsewhere. Returns the function that ends the listening. */
  onDevicesChanged(context: AudioContext, listener: () => void): () => void;
}
