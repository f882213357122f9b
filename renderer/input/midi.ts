// MIDI foot switches as edges: reads the messages of every input, follows plugging and unplugging.
import type { Milliseconds } from '../../app/core/base/units.ts';
import type { Signal } from './bindings.ts';
import type { Edge } from './press-reader.ts';

/** One channel message as a signal with a value; anything else a pedal never sends. */
export interface MidiMessage {
  readonly signal: Signal;
  readonly down: boolean;
  /** Nothing follows a program change: its release is up to the reader. */
  readonly momentary: boolean;
}

/** From here on a switch controller is on (MIDI 1.0: 0–63 off, 64–127 on). */
const ON = 64;

/**
 * Note on and off, control change and program change of any channel; undefined for all else. A note on
 * with velocity 0 is a note off (MIDI 1.0).
 */
export function readMidi(bytes: ArrayLike<number>): MidiMessage | undefined {
  const [status = 0, first = 0, second = 0] = Array.from(bytes);
  switch (status & 0xf0) {
    case 0x80:
      return { signal: `note:${first}`, down: false, momentary: false };
    case 0x90:
      return { signal: `note:${first}`, down: second > 0, momentary: false };
    case 0xb0:
      return { signal: `cc:${first}`, down: second >= ON, momentary: false };
    case 0xc0:
      return { signal: `program:${first}`, down: true, momentary: true };
    default:
      return undefined;
  }
}

/** Keeps only changes: an expression pedal sends many values on the same side of the middle. */
export class MidiEdges {
  /** Signals that are down, by input. */
  readonly #down = new Map<string, Set<Signal>>();

  of(input: string, message: MidiMessage, at: Milliseconds): readonly Edge[] {
    const { signal, down, momentary } = message;
    if (momentary) return [edge(signal, true, at), edge(signal, false, at)];
    const held = this.#down.get(input) ?? new Set();
    this.#down.set(input, held);
    if (held.has(signal) === down) return [];
    if (down) held.add(signal);
    else held.delete(signal);
    return [edge(signal, down, at)];
  }

  /** A pedal that is unplugged while pressed is released by that. */
  unplugged(input: string, at: Milliseconds): readonly Edge[] {
    const held = [...(this.#down.get(input) ?? [])];
    this.#down.delete(input);
    return held.map((signal) => edge(signal, false, at));
  }
}

const edge = (signal: Signal, down: boolean, at: Milliseconds): Edge => ({ signal, down, at });

export interface MidiInputInfo {
  readonly id: string;
  readonly name: string;
}

export interface MidiListener {
  /** What is plugged in now; told at once and after every change. */
  onInputs(inputs: readonly MidiInputInfo[]): void;
  onEdge(edge: Edge, input: MidiInputInfo): void;
  /** It is plugged in and does not open; on some systems one program alone may hold it. */
  onBusy(input: MidiInputInfo): void;
}

export type MidiOpened =
  | { readonly kind: 'open'; readonly close: () => void }
  /** This browser has no Web MIDI. */
  | { readonly kind: 'absent' }
  | { readonly kind: 'refused' }
  /** It is allowed, but the system's own MIDI does not answer. */
  | { readonly kind: 'broken' };

/** Asks for MIDI without system-exclusive messages and listens to every input, present and to come. */
export async function openMidi(listener: MidiListener): Promise<MidiOpened> {
  if (!('requestMIDIAccess' in navigator)) return { kind: 'absent' };
  const access = await navigator
    .requestMIDIAccess({ sysex: false })
    .catch((error: unknown) => whyNot(error));
  if (typeof access === 'string') return { kind: access };
  const edges = new MidiEdges();
  let known: readonly MidiInputInfo[] = [];
  const listen = () => {
    const inputs = [...access.inputs.values()].filter((input) => input.state === 'connected');
    for (const input of inputs) {
      input.onmidimessage = (event) => hear(input, event);
      if (!known.some(({ id }) => id === input.id)) {
        void input.open().catch(() => listener.onBusy(infoOf(input)));
      }
    }
    const now = inputs.map(infoOf);
    for (const gone of known.filter((old) => !now.some(({ id }) => id === old.id))) {
      for (const e of edges.unplugged(gone.id, performance.now())) listener.onEdge(e, gone);
    }
    known = now;
    listener.onInputs(now);
  };
  const hear = (input: MIDIInput, event: MIDIMessageEvent) => {
    const message = event.data ? readMidi(event.data) : undefined;
    if (!message) return;
    for (const e of edges.of(input.id, message, event.timeStamp)) {
      listener.onEdge(e, infoOf(input));
    }
  };
  access.onstatechange = listen;
  listen();
  return {
    kind: 'open',
    close: () => {
      access.onstatechange = null;
      for (const input of access.inputs.values()) input.onmidimessage = null;
    },
  };
}

/** By the errors of the Web MIDI API: a refusal is NotAllowedError (SecurityError before 2024). */
const whyNot = (error: unknown): 'refused' | 'broken' =>
  error instanceof Error && /^(NotAllowed|Security)Error$/.test(error.name) ? 'refused' : 'broken';

const infoOf = (input: MIDIInput): MidiInputInfo => ({
  id: input.id,
  name: input.name ?? 'unnamed pedal',
});
