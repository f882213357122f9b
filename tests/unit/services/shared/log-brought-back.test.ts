// A log that is brought back from a backup, as it was before what has been told and taken in since.
import { expect, it } from 'vitest';
import { OWN_DESK } from '../../../../app/core/progress/assignment.ts';
import { EngineMachine } from '../../../support/machines/engine.ts';
import { Hub, HUB } from '../../../support/machines/hub.ts';
import { MemoryDisk } from '../../../support/machines/memory-files.ts';
import { passEntry } from '../samples.ts';

/** More than are told without a pause. */
const MANY = Array.from({ length: 600 }, (_, i) => passEntry(`old-${i}`));
/** Changes on its disk while a machine joins and tells so many. */
const CHANGES = 40;

it('holds again what another machine played, wherever the program ended while it told a long log', async () => {
  let toldAll = 0;
  for (let changes = 0; changes <= CHANGES; changes++) {
    const disk = new MemoryDisk();
    const [laptop, desktop] = [new EngineMachine(disk, 'm0'), new EngineMachine(disk, 'm1')];
    const hub = new Hub(disk, [laptop, desktop]);
    laptop.join();
    laptop.append([passEntry('new')]);
    await laptop.sync();
    hub.carryAll(laptop.folder, HUB);
    hub.carryAll(HUB, desktop.folder);
    desktop.append(MANY);
    desktop.join();
    desktop.backUp();
    await desktop.dieInSync(changes);
    // One file of each by which they joined, one of the laptop's pass, two of the long log.
    if (hub.namesBelow(desktop.folder).length >= 5) toldAll++;
    desktop.restoreLog();
    await desktop.sync();
    const { passes } = desktop.store.read.passes({ desk: OWN_DESK });
    expect(
      passes.some(({ id }) => id === 'new'),
      `after ${changes} changes`,
    ).toBe(true);
    for (const one of [laptop, desktop]) one.close();
  }
  expect(toldAll).toBeGreaterThan(0);
  expect(toldAll).toBeLessThan(CHANGES);
});
