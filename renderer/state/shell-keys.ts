// Which keys belong to the shell: Alt and a digit for a room, `?` for the sheet of keys outside of typing.

export type ShellKey =
  { readonly kind: 'room'; readonly index: number } | { readonly kind: 'sheet' } | undefined;

interface Pressed extends Pick<KeyboardEvent, 'key' | 'code' | 'altKey' | 'ctrlKey' | 'metaKey'> {
  readonly target: EventTarget | null;
}

/** `code` names the digit, since Alt changes what `key` holds on some layouts. */
export function shellKey(event: Pressed, roomCount: number): ShellKey {
  if (event.ctrlKey || event.metaKey) return undefined;
  const digit = /^Digit([1-9])$/.exec(event.code)?.[1];
  if (event.altKey && digit !== undefined && Number(digit) <= roomCount) {
    return { kind: 'room', index: Number(digit) - 1 };
  }
  if (event.key === '?' && !event.altKey && !isTyping(event.target)) return { kind: 'sheet' };
  return undefined;
}

/** Does this element take letters as text? */
export function isTyping(target: EventTarget | null): boolean {
  if (!(target instanceof HTMLElement)) return false;
  if (target instanceof HTMLInputElement)
    return !['checkbox', 'radio', 'range'].includes(target.type);
  return target.isContentEditable || ['TEXTAREA', 'SELECT'].includes(target.tagName);
}
