// Puts a climb into the hands of keys and pedals for as long as its stage is open.
import { settings } from '../settings.svelte.ts';
import {
  type Binding,
  bindingName,
  type ClimbAction,
  isMidi,
  readBindings,
} from '../../input/bindings.ts';
import { Controls, type Steered } from '../../input/controls.ts';
import { listenToKeys, scrolls } from '../../input/keys.ts';
import { pedals } from './pedals.svelte.ts';

/** The table in force now. */
export const bindingTable = () => readBindings(settings.now.keys, settings.now.pedals);

/** The key whose press asks for `action`, by its name; undefined where only pedals and holds do. */
export function climbKeyOf(action: ClimbAction): string | undefined {
  const key = bindingTable().find(
    (b) => b.action === action && b.gesture === 'press' && !isMidi(b.signal),
  );
  return key && bindingName(key);
}

/** On the stage, every action: `$effect(() => openControls(() => climb))`. */
export const openControls = (steered: () => Steered | undefined): (() => void) =>
  connect(bindingTable, steered, () => false);

/** Before the stage, only the beginning: every key that begins a climb calls `begin`; page keys still scroll. */
export function openBeginning(begin: () => void): () => void {
  const onlyGo = () => bindingTable().filter((binding) => binding.action === 'go');
  const nothing = () => undefined;
  const steered = { go: begin, judge: nothing, undo: nothing, stop: nothing };
  return connect(onlyGo, () => steered, scrolls);
}

function connect(
  bindings: () => readonly Binding[],
  steered: () => Steered | undefined,
  shared: (code: string) => boolean,
): () => void {
  const controls = new Controls({
    bindings,
    steered,
    now: () => performance.now(),
    later: (wait, action) => {
      const timer = setTimeout(action, wait);
      return () => clearTimeout(timer);
    },
  });
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
