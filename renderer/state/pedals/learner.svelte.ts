// The test of keys and pedals: shows what each press sends and would do, and learns it for an action.
import type { Milliseconds } from '../../../app/core/base/units.ts';
import type { PlayerSettings } from '../settings/settings.svelte.ts';
import {
  type Binding,
  type ClimbAction,
  forget,
  type KeptTable,
  learn,
  readBindings,
  wantedOf,
} from '../../input/bindings.ts';
import { listenToEveryKey } from '../../input/keys.ts';
import type { Pedals } from './pedals.svelte.ts';
import {
  type Edge,
  NO_PRESSES,
  type Presses,
  type Read,
  readEdge,
  readTime,
  type Told,
} from '../../input/press-reader.ts';

/** One gesture that arrived, and the action it is bound to. */
export interface Heard extends Told {
  readonly id: number;
  /** Name of the MIDI device; 'keys' for the keyboard and pedals that type. */
  readonly from: string;
  readonly action: ClimbAction | undefined;
}

/** As many as fit the panel. */
const KEPT = 8;

interface LearnerAround {
  readonly settings: PlayerSettings;
  readonly pedals: Pedals;
}

export class Learner {
  readonly #around: LearnerAround;
  #heard = $state.raw<readonly Heard[]>([]);
  #down = $state.raw<readonly string[]>([]);
  #open = $state(false);
  #learning = $state<ClimbAction>();
  #presses: Presses = NO_PRESSES;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #from = 'keys';
  #count = 0;
  #leave: (() => void) | undefined;

  readonly table: readonly Binding[] = $derived.by(() => {
    const { settings } = this.#around;
    return settings.ready ? readBindings(settings.now.keys, settings.now.pedals) : [];
  });

  constructor(around: LearnerAround) {
    this.#around = around;
  }

  /** Newest first. */
  get heard(): readonly Heard[] {
    return this.#heard;
  }
  /** Signals that are down just now. */
  get down(): readonly string[] {
    return this.#down;
  }
  get open(): boolean {
    return this.#open;
  }
  /** The action whose key or pedal is awaited. */
  get learning(): ClimbAction | undefined {
    return this.#learning;
  }

  /** Listens to everything; with an action, the next gesture is bound to it. Escape and Tab stay themselves. */
  start = (action?: ClimbAction): void => {
    this.#learning = action;
    if (this.#open) return;
    this.#open = true;
    const keys = listenToEveryKey((edge) => this.#take(edge, 'keys'), this.stop);
    const midi = this.#around.pedals.listen((edge, input) => this.#take(edge, input.name));
    this.#leave = () => [keys, midi].forEach((end) => end());
  };

  stop = (): void => {
    this.#leave?.();
    clearTimeout(this.#timer);
    this.#leave = undefined;
    this.#open = false;
    this.#learning = undefined;
    this.#presses = NO_PRESSES;
    this.#down = [];
  };

  forget = (binding: Binding): Promise<void> => this.#keep(forget(this.table, binding));

  /** Back to the usual keys and pedals. */
  reset = (): Promise<void> => this.#around.settings.write({ keys: {}, pedals: {} });

  #take(edge: Edge, from: string): void {
    this.#from = from;
    const others = this.#down.filter((signal) => signal !== edge.signal);
    this.#down = edge.down ? [...others, edge.signal] : others;
    this.#carryOut(readEdge(this.#presses, edge, { hold: true, double: true }));
  }

  #carryOut(read: Read): void {
    this.#presses = read.presses;
    for (const told of read.gestures) this.#show(told);
    clearTimeout(this.#timer);
    if (read.wakeAt === undefined) return;
    const wait: Milliseconds = Math.max(0, read.wakeAt - performance.now());
    this.#timer = setTimeout(
      () => this.#carryOut(readTime(this.#presses, performance.now())),
      wait,
    );
  }

  #show(told: Told): void {
    const action = this.#learning ?? wantedOf(this.table, told.signal)[told.gesture];
    const heard: Heard = { ...told, id: ++this.#count, from: this.#from, action };
    this.#heard = [heard, ...this.#heard].slice(0, KEPT);
    if (this.#learning === undefined) return;
    const { signal, gesture } = told;
    void this.#keep(learn(this.table, { action: this.#learning, signal, gesture }));
    this.stop();
  }

  async #keep({ keys, pedals: midi }: KeptTable): Promise<void> {
    await this.#around.settings.write({ keys, pedals: midi });
  }
}
