// What it costs a machine to have gathered its small files.
import { expect, it } from 'vitest';
import type { Files } from '../../../../app/services/machine/shared/files.ts';
import { EngineMachine } from '../../../support/machines/engine.ts';
import { MemoryDisk } from '../../../support/machines/memory-files.ts';
import { passEntry } from '../samples.ts';

class CountingDisk extends MemoryDisk {
  reads = 0;
  override files(fuse: (at: string, text?: string) => void): Files {
    const files = super.files(fuse);
    const read = (file: string): string => {
      this.reads++;
      return files.read(file);
    };
    return { ...files, read };
  }
}

/** Changes on the disk of a machine in a sync in which it gathers. */
const CHANGES = 40;

it('looks for none that it took away, wherever the program ended meanwhile, and reads nothing anew', async () => {
  for (let changes = 0; changes <= CHANGES; changes++) {
    const disk = new CountingDisk();
    const machine = new EngineMachine(disk, 'm0');
    machine.join();
    for (const id of ['p-1', 'p-2']) {
      machine.append([passEntry(id)]);
      await machine.sync();
    }
    machine.append([passEntry('p-3')]);
    await machine.dieInSync(changes);
    const files = disk.filesBelow(machine.folder).length;
    // What was begun is done once more.
    await machine.sync();
    if (changes === 0) expect(disk.filesBelow(machine.folder).length).toBeLessThan(files);
    disk.reads = 0;
    for (let look = 0; look < 3; look++) await machine.sync();
    expect(disk.reads, `after ${changes} changes`).toBe(0);
    machine.close();
  }
});
