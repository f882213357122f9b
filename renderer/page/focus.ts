// Where the focus goes when what held it has left the page.
import { tick } from 'svelte';

/** The title of the open room, once the page has been brought up to date. */
export async function focusRoomTitle(): Promise<void> {
  await tick();
  document.querySelector<HTMLElement>('[data-room-title]')?.focus();
}
