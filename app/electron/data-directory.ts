// Which folder holds the charts and the log; what Electron itself keeps goes into a folder of its own beneath it.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { app } from 'electron';
import { usualDataDirectory } from '../services/machine/data-directory.ts';

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
  const electronsOwn = path.join(directory, 'window');
  // setPath throws for a folder that is not there.
  fs.mkdirSync(electronsOwn, { recursive: true });
  app.setPath('userData', electronsOwn);
  return directory;
}
