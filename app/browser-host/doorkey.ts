// A second start on a data folder that is served already asks the first one for a fresh address.
import fs from 'node:fs';
import path from 'node:path';
import { z } from 'zod';

/** Written by the program that serves the folder, for its owner alone. */
const fileIn = (directory: string): string => path.join(directory, 'serving.json');
const serving = z.object({ port: z.int().min(1).max(65_535), doorkey: z.string() });
/** Milliseconds in which a program on the same machine answers. */
const PATIENCE = 3_000;

/** Where it cannot be written a second start only says that the first one runs. */
export function leaveDoorkey(directory: string, port: number, doorkey: string): void {
  try {
    fs.rmSync(fileIn(directory), { force: true });
    fs.writeFileSync(fileIn(directory), JSON.stringify({ port, doorkey }), {
      flag: 'wx',
      mode: 0o600,
    });
  } catch {
    // An unwritable folder is told on Today.
  }
}

/** Removes the key. @param directory the data folder */
export const takeDoorkey = (directory: string): void =>
  fs.rmSync(fileIn(directory), { force: true });

/** A fresh one-time address of the program that serves this folder; undefined where none answers. */
export async function askForAddress(directory: string): Promise<string | undefined> {
  try {
    const { port, doorkey } = serving.parse(JSON.parse(fs.readFileSync(fileIn(directory), 'utf8')));
    const answer = await fetch(`http://127.0.0.1:${port}/address`, {
      method: 'POST',
      headers: { authorization: `Bearer ${doorkey}` },
      signal: AbortSignal.timeout(PATIENCE),
    });
    if (!answer.ok) return undefined;
    const { address } = z.object({ address: z.url() }).parse(await answer.json());
    return address;
  } catch {
    return undefined;
  }
}
