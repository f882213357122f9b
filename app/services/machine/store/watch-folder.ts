// Tells when something in a folder was changed, once whoever changed it is done.
import fs from 'node:fs';

/** Files are written in several steps by many programs; a look waits for them. */
const SETTLE_MS = 300;

/** Returns the function that stops watching. A folder that is not there, or cannot be watched, is not. */
export function watchFolder(folder: string, changed: () => void): () => void {
  let timer: NodeJS.Timeout | undefined;
  try {
    const watcher = fs.watch(folder, { persistent: false }, () => {
      clearTimeout(timer);
      timer = setTimeout(changed, SETTLE_MS).unref();
    });
    // A folder that goes away ends the watch; the lists are read anew all the same.
    watcher.on('error', () => watcher.close());
    return () => {
      clearTimeout(timer);
      watcher.close();
    };
  } catch {
    return () => undefined;
  }
}
