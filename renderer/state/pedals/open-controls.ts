// Puts a climb into the hands of keys and pedals for as long as its stage is open.
import type { PlayerSettings } from '../settings/settings.svelte.ts';
import {
  type Binding,
  bindingName,
  type ClimbAction,
  isMidi,
  readBindings,
} from '../../input/bindings.ts';
import { Controls, type Steered } from '../../input/controls.ts';
import { later } from '../../page/clock.ts';
import { listenToKeys, scrolls } from '../../input/keys.ts';
import type { Pedals } from './pedals.svelte.ts';

interface ControlsAround {
  readonly settings: PlayerSettings;
  readonly pedals: Pedals;
}

export class StageControls {
  readonly #around: ControlsAround;

  constructor(around: ControlsAround) {
    this.#around = around;
  }

  /** The table in force now. */
  get table(): readonly Binding[] {
    const { keys, pedals } = this.#around.settings.now;
    return readBindings(keys, pedals);
  }

  /** The key whose press asks for `action`, by its name; undefined where only pedals and holds do. */
  keyOf = (action: ClimbAction): string | undefined => {
    const key = this.table.find(
      (b) => b.action === action && b.gesture === 'press' && !isMidi(b.signal),
    );
    return key && bindingName(key);
  };

  /** On the stage, every action: `$effect(() => controls.open(() => climb))`. */
  open = (steered: () => Steered | undefined): (() => void) =>
    this.#connect(
      () => this.table,
      steered,
      () => false,
    );

  /** Before the stage, only the beginning: every key that begins a climb calls `begin`; page keys still scroll. */
  openBeginning = (begin: () => void): (() => void) => {
    const onlyGo = () => this.table.filter((binding) => binding.action === 'go');
    const nothing = () => undefined;
    const steered = { go: begin, judge: nothing, undo: nothing, stop: nothing };
    return this.#connect(onlyGo, () => steered, scrolls);
  };

  #connect(
    bindings: () => readonly Binding[],
    steered: () => Steered | undefined,
    shared: (code: string) => boolean,
  ): () => void {
    const { pedals } = this.#around;
    const controls = new Controls({ bindings, steered, now: () => performance.now(), later });
    void pedals.reconnect();
    const ends = [
      listenToKeys(controls.edge, controls.release, shared),
      pedals.listen(controls.edge),
    ];
    return () => {
      for (const end of ends) end();
      controls.release();
    };
  }
}
