// Packs files of the data folder into one ZIP file, a stretch at a time, so that the program goes on meanwhile.
import fs from 'node:fs';
import { setImmediate } from 'node:timers/promises';
import { Zip, ZipDeflate } from 'fflate';

import { kindOf } from '../recordings/recording-files.ts';

/** A file, or a text, and its place in the archive. */
export type Packed = { readonly name: string } & (
  { readonly file: string } | { readonly text: string }
);

/** Bytes that are packed without a pause: some milliseconds. */
const STRETCH = 262_144;

/** @throws Error where a file cannot be read or the target not be written; nothing is left of the target then. */
export async function writeArchive(target: string, all: readonly Packed[]): Promise<void> {
  const part = `${target}.part`;
  const handle = fs.openSync(part, 'w', 0o600);
  try {
    let refused: Error | undefined;
    const zip = new Zip((error, chunk) => {
      if (error) refused ??= error;
      else fs.writeSync(handle, chunk);
    });
    for (const one of all) {
      await pack(zip, one);
      if (refused) throw refused;
    }
    zip.end();
    fs.fsyncSync(handle);
    fs.renameSync(part, target);
  } finally {
    fs.closeSync(handle);
    fs.rmSync(part, { force: true });
  }
}

async function pack(zip: Zip, one: Packed): Promise<void> {
  // Sound is packed tightly already.
  const entry = new ZipDeflate(one.name, { level: kindOf(one.name) ? 0 : 6 });
  if ('text' in one) {
    zip.add(entry);
    entry.push(new TextEncoder().encode(one.text), true);
    return;
  }
  const handle = fs.openSync(one.file, 'r');
  try {
    entry.mtime = fs.fstatSync(handle).mtime;
    zip.add(entry);
    for (;;) {
      const bytes = new Uint8Array(STRETCH);
      const read = fs.readSync(handle, bytes, 0, STRETCH, null);
      entry.push(bytes.subarray(0, read), read < STRETCH);
      await setImmediate();
      if (read < STRETCH) return;
    }
  } finally {
    fs.closeSync(handle);
  }
}
