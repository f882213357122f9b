// Listens to the keyboard, and to pedals that type keys, for as long as a stage is open.
import { hasModifier, isTyping } from './shell-keys.ts';
import type { Edge } from './press-reader.ts';

/** Elements that space and enter already mean something to. */
const ANSWERS = 'button, a[href], input, select, summary, [role="button"], [role="tab"]';

/**
 * Tells `take` every edge of a key that is not meant for a text field or a focused button. Where `take`
 * answers true the key does nothing else (page keys would scroll), unless it is `shared`. Returns the
 * function that ends it.
 */
export function listenToKeys(
  take: (edge: Edge) => boolean,
  release: () => void,
  shared: (code: string) => boolean = () => false,
): () => void {
  const onDown = (event: KeyboardEvent) => !isElsewhere(event) && take(edgeOf(event, true));
  return listen(onDown, take, release, shared);
}

/** Keys that scroll a page. */
export const scrolls = (code: string): boolean => /^(Page|Arrow)/.test(code);

/**
 * Tells `take` every key whatever has the focus, for the test and for learning. Tab still moves the focus,
 * and Escape tells `leave`, so that nobody is caught. Returns the function that ends it.
 */
export function listenToEveryKey(take: (edge: Edge) => void, leave: () => void): () => void {
  const onKey = (event: KeyboardEvent): boolean => {
    if (event.code === 'Escape') leave();
    if (event.code === 'Escape' || event.code === 'Tab' || hasModifier(event)) return false;
    take(edgeOf(event, true));
    return true;
  };
  return listen(onKey, take, leave);
}

/** `onDown` answers whether the key was taken: it then does nothing else, and its release is told to `onUp`. */
function listen(
  onDown: (event: KeyboardEvent) => boolean,
  onUp: (edge: Edge) => void,
  onBlur: () => void,
  shared: (code: string) => boolean = () => false,
): () => void {
  const held = new Set<string>();
  const down = (event: KeyboardEvent) => {
    const taken = event.repeat ? held.has(event.code) : onDown(event);
    if (!taken) return;
    held.add(event.code);
    if (!shared(event.code)) event.preventDefault();
  };
  /** A key that went down here comes up here, wherever the focus has gone meanwhile. */
  const up = (event: KeyboardEvent) => {
    if (!held.delete(event.code)) return;
    event.preventDefault();
    onUp(edgeOf(event, false));
  };
  const blur = () => {
    held.clear();
    onBlur();
  };
  window.addEventListener('keydown', down);
  window.addEventListener('keyup', up);
  window.addEventListener('blur', blur);
  return () => {
    window.removeEventListener('keydown', down);
    window.removeEventListener('keyup', up);
    window.removeEventListener('blur', blur);
  };
}

const edgeOf = (event: KeyboardEvent, down: boolean): Edge => ({
  signal: event.code,
  down,
  at: event.timeStamp,
});

function isElsewhere(event: KeyboardEvent): boolean {
  if (hasModifier(event) || isTyping(event)) return true;
  const target = event.target instanceof Element ? event.target : null;
  if (target?.closest('dialog[open]')) return true;
  const pressesIt = event.code === 'Space' || event.code === 'Enter';
  return pressesIt && Boolean(target?.closest(ANSWERS));
}
