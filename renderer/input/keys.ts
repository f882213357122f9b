// Listens to the keyboard, and to pedals that type keys, for as long as a stage is open.
import { isTyping } from '../state/shell-keys.ts';
import type { Edge } from './press-reader.ts';

/** Elements that space and enter already mean something to. */
const ANSWERS = 'button, a[href], input, select, summary, [role="button"], [role="tab"]';

/**
 * Tells `take` every edge of a key that is not meant for a text field or a focused button. Where `take`
 * answers true the key does nothing else (page keys would scroll). Returns the function that ends it.
 */
export function listenToKeys(take: (edge: Edge) => boolean, release: () => void): () => void {
  const held = new Set<string>();
  const down = (event: KeyboardEvent) => {
    if (isElsewhere(event)) return;
    const taken = event.repeat ? held.has(event.code) : take(edgeOf(event, true));
    if (!taken) return;
    held.add(event.code);
    event.preventDefault();
  };
  /** A key that went down here comes up here, wherever the focus has gone meanwhile. */
  const up = (event: KeyboardEvent) => {
    if (held.delete(event.code)) take(edgeOf(event, false));
  };
  const leave = () => {
    held.clear();
    release();
  };
  window.addEventListener('keydown', down);
  window.addEventListener('keyup', up);
  window.addEventListener('blur', leave);
  return () => {
    window.removeEventListener('keydown', down);
    window.removeEventListener('keyup', up);
    window.removeEventListener('blur', leave);
  };
}

const edgeOf = (event: KeyboardEvent, down: boolean): Edge => ({
  signal: event.code,
  down,
  at: event.timeStamp,
});

function isElsewhere(event: KeyboardEvent): boolean {
  if (event.ctrlKey || event.metaKey || event.altKey) return true;
  const target = event.target instanceof Element ? event.target : null;
  if (isTyping(event.target) || target?.closest('dialog[open]')) return true;
  const pressesIt = event.code === 'Space' || event.code === 'Enter';
  return pressesIt && Boolean(target?.closest(ANSWERS));
}
