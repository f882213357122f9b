// The pedals of this window: whether MIDI is open, what is plugged in, and who hears what they send.
import type { Edge } from '../../input/press-reader.ts';
import { type MidiInputInfo, openMidi } from '../../input/midi.ts';

export type PedalState = 'off' | 'asking' | 'open' | 'refused' | 'broken' | 'absent';

/** One sentence per state, with its cure; keys always work meanwhile. */
const WORDS: Readonly<Record<PedalState, string>> = {
  off: 'MIDI pedals are off. Pedals that type keys work already.',
  asking: 'Asking for permission to use MIDI …',
  open: 'No MIDI pedal is plugged in yet. Plug one in; it is found by itself.',
  refused:
    'Permission to use MIDI was refused. Allow it for this program in the browser or system settings, then try again; the keyboard works as before.',
  broken:
    'This computer’s MIDI does not answer. Unplug the pedal and plug it in again, then try again; the keyboard works as before.',
  absent: 'This browser has no MIDI. Keys, and pedals that type keys, work as before.',
};

export class Pedals {
  #state = $state<PedalState>('off');
  #inputs = $state.raw<readonly MidiInputInfo[]>([]);
  #lost = $state<string>('');
  #busy = $state.raw<readonly MidiInputInfo[]>([]);
  readonly #listeners: ((edge: Edge, input: MidiInputInfo) => void)[] = [];

  get state(): PedalState {
    return this.#state;
  }
  get inputs(): readonly MidiInputInfo[] {
    return this.#inputs;
  }
  /** Name of the pedal that was unplugged last, until one is plugged in; '' otherwise. */
  get lost(): string {
    return this.#lost;
  }
  /** What there is to say about pedals just now. */
  readonly words: string = $derived.by(() => {
    if (this.#lost !== '') return unplugged(this.#lost);
    if (this.#busy[0]) return busy(this.#busy[0].name);
    if (this.#inputs.length === 0) return WORDS[this.#state];
    return `Plugged in: ${this.#inputs.map((input) => input.name).join(', ')}.`;
  });

  /** Asks for MIDI; harmless when it is open. Call it from a click or key. */
  connect = async (): Promise<void> => {
    if (this.#state === 'open' || this.#state === 'asking') return;
    this.#state = 'asking';
    const opened = await openMidi({
      onInputs: this.#follow,
      onEdge: this.#tell,
      onBusy: (input) => (this.#busy = [...this.#busy, input]),
    });
    this.#state = opened.kind;
  };

  /** Opens MIDI without asking where permission was given before, so that a pedal just works. */
  reconnect = async (): Promise<void> => {
    const known = await navigator.permissions
      ?.query({ name: 'midi' as PermissionName })
      .catch(() => undefined);
    if (known?.state === 'granted') await this.connect();
  };

  /** Hears every edge of every MIDI input; returns the function that ends it. */
  listen = (listener: (edge: Edge, input: MidiInputInfo) => void): (() => void) => {
    this.#listeners.push(listener);
    return () => void this.#listeners.splice(this.#listeners.indexOf(listener), 1);
  };

  #follow = (inputs: readonly MidiInputInfo[]): void => {
    const gone = this.#inputs.find((old) => !inputs.some((input) => input.id === old.id));
    if (gone) this.#lost = gone.name;
    else if (inputs.length > this.#inputs.length) this.#lost = '';
    this.#inputs = inputs;
    this.#busy = this.#busy.filter((one) => inputs.some((input) => input.id === one.id));
  };

  #tell = (edge: Edge, input: MidiInputInfo): void => {
    for (const listener of [...this.#listeners]) listener(edge, input);
  };
}

const busy = (name: string): string =>
  `The pedal “${name}” is plugged in, but another program may be using it. Close that program, then plug the pedal in again; the keyboard works as before.`;

const unplugged = (name: string): string =>
  `The pedal “${name}” was unplugged. The keyboard still works; plug it in again to go on with it.`;
