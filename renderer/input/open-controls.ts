// Puts a climb into the hands of keys and pedals for as long as its stage is open.
import { settings } from '../state/settings.svelte.ts';
import { readBindings } from './bindings.ts';
import { Controls, type Steered } from './controls.ts';
import { listenToKeys } from './keys.ts';
import { pedals } from './pedals.svelte.ts';

/** The table in force now. */
export const bindingTable = () => readBindings(settings.now.keys, settings.now.pedals);

/** Return its result from an `$effect`: `$effect(() => openControls(() => climb))`. */
export function openControls(steered: () => Steered | undefined): () => void {
  const controls = new Controls({
    bindings: bindingTable,
    steered,
    now: () => performance.now(),
    later: (wait, action) => {
      const timer = setTimeout(action, wait);
      return () => clearTimeout(timer);
    },
  });
  void pedals.reconnect();
  const ends = [listenToKeys(controls.edge, controls.release), pedals.listen(controls.edge)];
  return () => {
    for (const end of ends) end();
    controls.release();
  };
}
