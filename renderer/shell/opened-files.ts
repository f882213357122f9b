// Files that come from outside a room: from the system by a double click, or dropped onto the window.
import type { OpenedFile } from '../../app/services/contract/host.ts';
import type { World } from '../state/world.ts';

/** Takes what the system handed to the program, if there is anything. */
export async function takeFiles(world: World): Promise<void> {
  const opened = await world.services.call('host.takeFiles', {});
  for (const file of opened) {
    if ('why' in file) world.messages.refuse([notRead(file)]);
    else await openFile(world, new File([bytesOf(file.base64)], file.name));
  }
}

/** What a room has taken by itself is left to it. */
export function dropFiles(world: World, event: DragEvent): void {
  if (event.defaultPrevented) return;
  event.preventDefault();
  void openAll(world, [...(event.dataTransfer?.files ?? [])]);
}

async function openAll(world: World, files: readonly File[]): Promise<void> {
  for (const file of files) await openFile(world, file);
}

/** Task sheets and reports say so near their beginning; all else is taken for a chart. */
const DESK_FILE = /"format"\s*:\s*"rungwise-(task-sheet|practice-report)"/;

async function openFile({ deskFiles, incoming, router }: World, file: File): Promise<void> {
  if (DESK_FILE.test(await file.slice(0, 2000).text())) return deskFiles.open([file]);
  // The room whose questions about a score belong on the page.
  router.go('charts');
  await incoming.take([file]);
}

const notRead = ({ name, why }: Extract<OpenedFile, { why: string }>) => ({
  code: 'file-not-read',
  message: `‘${name}’ could not be opened: ${why}`,
  cure: 'Look whether it is still there and may be read.',
});

const bytesOf = (base64: string): Uint8Array<ArrayBuffer> =>
  Uint8Array.from(atob(base64), (character) => character.charCodeAt(0));
