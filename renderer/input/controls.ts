// From the edges of keys and pedals to the actions of a climb: reads gestures, looks them up, and keeps doubles out.
import type { StopReason } from '../../app/core/ladder/model.ts';
import type { Verdict, ClimbSource } from '../../app/core/model/pass.ts';
import type { Milliseconds } from '../../app/core/base/units.ts';
import { type Binding, type ClimbAction, isMidi, type Signal, wantedOf } from './bindings.ts';
import {
  type Edge,
  NO_PRESSES,
  type Presses,
  type Read,
  readEdge,
  readTime,
} from './press-reader.ts';

/** What the controls steer: a climb, or a queue of them. */
export interface Steered {
  go(): unknown;
  judge(verdict: Verdict, source: ClimbSource): void;
  undo(): void;
  stop(reason: StopReason): void;
  /** To the change that breaks most and back; nothing where no ear listens. */
  drill?(): unknown;
  /** Records the next pass, calls that off, or ends a recording; nothing where none can be made. */
  record?(): unknown;
}

/** One foot can't mean two things this fast; two devices that send for one press are within it. */
export const GATE_MS: Milliseconds = 150;

/**
 * Drops the echo of an action: the same one, or a verdict beside a verdict, begun within {@link GATE_MS}; and a verdict
 * that waited for a second press while it was taken back.
 * Answers whether `action`, begun at `at`, is to be carried out.
 */
function makeGate(): (action: ClimbAction, at: Milliseconds) => boolean {
  let last: { group: string; at: Milliseconds } | undefined;
  let takenBackAt: Milliseconds = -Infinity;
  return (action, at) => {
    const group = action === 'clean' || action === 'missed' ? 'verdict' : action;
    const echo = last?.group === group && Math.abs(at - last.at) < GATE_MS;
    if (echo || (group === 'verdict' && at < takenBackAt)) return false;
    last = { group, at };
    if (action === 'undo') takenBackAt = at;
    return true;
  };
}

export interface ControlsAround {
  readonly bindings: () => readonly Binding[];
  readonly steered: () => Steered | undefined;
  /** Runs `action` after `wait`; returns the function that calls it off. */
  readonly later: (wait: Milliseconds, action: () => void) => () => void;
  readonly now: () => Milliseconds;
}

export class Controls {
  readonly #around: ControlsAround;
  readonly #gate = makeGate();
  #presses: Presses = NO_PRESSES;
  #callOff: (() => void) | undefined;

  constructor(around: ControlsAround) {
    this.#around = around;
  }

  /** Takes in one edge from any device. Answers whether its signal is bound to anything. */
  edge = (edge: Edge): boolean => {
    const { press, hold, double } = wantedOf(this.#around.bindings(), edge.signal);
    if (!press && !hold && !double) return false;
    this.#carryOut(
      readEdge(this.#presses, edge, { hold: hold !== undefined, double: double !== undefined }),
    );
    return true;
  };

  /** Forgets what is pressed, e.g. when the window loses the keyboard. */
  release = (): void => {
    this.#callOff?.();
    this.#presses = NO_PRESSES;
  };

  #carryOut(read: Read): void {
    this.#presses = read.presses;
    for (const { signal, gesture, at } of read.gestures) {
      const action = wantedOf(this.#around.bindings(), signal)[gesture];
      if (action && this.#gate(action, at)) this.#steer(action, signal);
    }
    this.#callOff?.();
    this.#callOff =
      read.wakeAt === undefined
        ? undefined
        : this.#around.later(Math.max(0, read.wakeAt - this.#around.now()), this.#wake);
  }

  #wake = (): void => this.#carryOut(readTime(this.#presses, this.#around.now()));

  #steer(action: ClimbAction, signal: Signal): void {
    const steered = this.#around.steered();
    const source: ClimbSource = isMidi(signal) ? 'pedal' : 'self';
    switch (action) {
      case 'go':
        return void steered?.go();
      case 'clean':
      case 'missed':
        return steered?.judge(action, source);
      case 'undo':
        return steered?.undo();
      case 'drill':
        return void steered?.drill?.();
      case 'record':
        return void steered?.record?.();
      case 'stop':
        return steered?.stop('player');
      case 'hurts':
        return steered?.stop('hurts');
    }
  }
}
