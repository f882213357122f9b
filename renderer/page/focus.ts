// Where the focus goes when what held it has left the page.
import { tick } from 'svelte';

/** The title of a part of the page, where what was pressed in it is gone; once the page has been brought up to date. */
export async function focusTitleIn(part: Element | null | undefined): Promise<void> {
  await tick();
  const title = part?.querySelector<HTMLElement>('h2, h3');
  title?.setAttribute('tabindex', '-1');
  title?.focus();
}

/** The title of the open room, once the page has been brought up to date. */
export async function focusRoomTitle(): Promise<void> {
  await tick();
  document.querySelector<HTMLElement>('[data-room-title]')?.focus();
}
