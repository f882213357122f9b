// What the view may ask of the microphone: open it, hear sound with its time, know of trouble, let it go.
import type { Problem, Result } from '../../../app/core/result.ts';
import type { SampleRate, Seconds, Share } from '../../../app/core/units.ts';

/** Sound as it came in, with the audio clock's time of its first frame. */
export interface SoundBlock {
  readonly at: Seconds;
  readonly samples: Float32Array;
}

/** What the meter shows of the latest block. */
export interface SoundLevel {
  /** Loudest sample, 0–1. */
  readonly peak: Share;
  /** Root of the mean square, 0–1. */
  readonly rms: Share;
  /** Samples at full scale: what was there is cut off. */
  readonly clipping: boolean;
}

/** A microphone in the list of the machine; its label is '' until the player has allowed one. */
export interface InputDevice {
  readonly id: string;
  readonly label: string;
}

/** An open microphone. It is released by {@link close} and by nothing else the player does not see. */
export interface Capture {
  readonly rate: SampleRate;
  /** What the machine calls the device that was opened. */
  readonly label: string;
  /** Returns the function that ends the listening. */
  onBlock(listener: (block: SoundBlock) => void): () => void;
  /** The device went away or was taken; the capture is closed by then. */
  onLost(listener: (problem: Problem) => void): () => void;
  close(): void;
}

export interface Microphones {
  list(): Promise<readonly InputDevice[]>;
  /** Fails with 'no-microphone', 'microphone-refused', 'microphone-busy' or 'no-audio'. */
  open(device: string): Promise<Result<Capture>>;
  /** Returns the function that ends the listening. */
  onDevicesChanged(listener: () => void): () => void;
}
