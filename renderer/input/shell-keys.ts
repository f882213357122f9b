// Which keys belong to the shell, outside of typing: Alt and a digit for a room (0 for the tenth), `?` for the sheet of keys.

export type ShellKey =
  { readonly kind: 'room'; readonly index: number } | { readonly kind: 'sheet' } | undefined;

/** The digit of each room in the order of the rail; the tenth has 0, more have none. */
export const DIGITS = '1234567890';

type Pressed = Pick<
  KeyboardEvent,
  'key' | 'code' | 'altKey' | 'ctrlKey' | 'metaKey' | 'composedPath'
>;

/**
 * `code` names the digit, since Alt changes what `key` holds on some layouts. None of them acts where somebody
 * types: with Alt, or AltGr as Ctrl and Alt, many layouts write `#`, `|`, `[` and `{`.
 */
export function shellKey(event: Pressed, roomCount: number): ShellKey {
  if (event.ctrlKey || event.metaKey || isTyping(event)) return undefined;
  const digit = /^Digit(\d)$/.exec(event.code)?.[1];
  const index = digit === undefined ? -1 : DIGITS.indexOf(digit);
  if (event.altKey && index >= 0 && index < roomCount) return { kind: 'room', index };
  if (event.key === '?' && !event.altKey) return { kind: 'sheet' };
  return undefined;
}

type Modifiers = Pick<KeyboardEvent, 'altKey' | 'ctrlKey' | 'metaKey'>;

/** Do Ctrl, Alt or the command key go with it? Then it is the system's, or writes a sign. */
export const hasModifier = ({ altKey, ctrlKey, metaKey }: Modifiers): boolean =>
  altKey || ctrlKey || metaKey;

/** Is it one plain key for the page: not held down, not typed as text, and behind no open question? */
export const isPlainPress = (
  event: Modifiers & Pick<KeyboardEvent, 'repeat' | 'composedPath'>,
): boolean =>
  !hasModifier(event) &&
  !event.repeat &&
  !isTyping(event) &&
  document.querySelector('dialog[open]') === null;

/**
 * Does the element that is asked take letters as text? Outside the shadow root in which the text of a chart is
 * typed the event's own target is the root's host, which takes none.
 */
export function isTyping(event: Pick<Event, 'composedPath'>): boolean {
  const [target] = event.composedPath();
  if (!(target instanceof HTMLElement)) return false;
  if (target instanceof HTMLInputElement)
    return !['checkbox', 'radio', 'range'].includes(target.type);
  return target.isContentEditable || ['TEXTAREA', 'SELECT'].includes(target.tagName);
}
