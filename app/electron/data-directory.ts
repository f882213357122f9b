// Which folder holds the charts and the log; what Electron itself keeps goes into a folder of its own beneath it.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { app } from 'electron';
import { usualDataDirectory } from '../services/machine/data-directory.ts';
import { makeFolder } from '../services/machine/store/make-folder.ts';

const OPTION = '--data=';

/**
 * `--data=DIR` or the usual place. Electron's single-instance lock hangs on its own data folder, so that
 * two data directories can be open in two windows.
 */
export function setUpDataDirectory(argv: readonly string[]): string {
  const named = argv.find((argument) => argument.startsWith(OPTION))?.slice(OPTION.length);
  const directory = path.resolve(
    named ??
      usualDataDirectory({ platform: process.platform, home: os.homedir(), env: process.env }),
  );
  app.setPath('userData', electronsFolder(directory));
  return directory;
}

/** Where the data folder cannot be written, one that lasts as long as this start: the services say what is wrong. */
function electronsFolder(directory: string): string {
  const folder = path.join(directory, 'window');
  try {
    // setPath throws for a folder that is not there.
    makeFolder(folder);
    return folder;
  } catch {
    return fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-window-'));
  }
}
