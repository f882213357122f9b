// A data folder that was copied to another computer: both take themselves for the one that wrote what was written before.
import fs from 'node:fs';
import path from 'node:path';
import { expect, it } from 'vitest';
import { eachInAWorld } from '../../../support/machines/each-in-a-world.ts';
import { carry, type Machine, stateOf, SURE } from '../../../support/machines/own-machines.ts';
import { twoOfAPlayer } from '../../../support/machines/two-of-a-player.ts';
import { passEntry } from '../samples.ts';

const all = eachInAWorld(7);
const PATIENCE = { own: 1, others: 2 };

async function playTimes(one: Machine, times: number): Promise<void> {
  for (let i = 0; i < times; i++) {
    await one.call('log.append', { entries: [passEntry(`${one.name}-${i}`)] });
    await one.call('settings.write', { patch: { breakReminderMinutes: 10 + i } });
    await one.call('shared.sync', {});
  }
}

/** Goes on from a copy of the data folder of another, and of its copy of the shared folder. */
async function twinOf(one: Machine): Promise<Machine> {
  const copy = path.join(all.world.root, 'copy');
  one.backUp(copy);
  const twin = all.machine('twin', '2031-04-05T18:20:00Z', PATIENCE);
  fs.cpSync(one.folder, twin.folder, { recursive: true });
  twin.restore(copy);
  await twin.done('shared.choose', { folder: twin.folder });
  return twin;
}

// Of 24 files and more the small ones are gathered.
it.each([
  [3, 26],
  [5, 5],
])(
  'after %s and %s files out of sight all machines have all passes of both',
  async (ofTwin, ofLaptop) => {
    const [laptop, desktop] = await twoOfAPlayer(all);
    await laptop.call('log.append', { entries: [passEntry('p-1')] });
    await all.meet(laptop, desktop);
    const twin = await twinOf(laptop);
    await playTimes(laptop, ofLaptop);
    await playTimes(twin, ofTwin);
    // What the laptop gathered comes to its twin before anybody has seen what the twin wrote.
    carry(laptop.folder, all.world.hub, SURE, all.world.random);
    carry(all.world.hub, twin.folder, SURE, all.world.random);
    await twin.call('shared.sync', {});
    for (let i = 0; i < 3; i++) await all.meet(laptop, twin, desktop);
    const { passes } = await desktop.call('log.passes', {});
    expect(passes).toHaveLength(1 + ofTwin + ofLaptop);
    for (const one of [laptop, twin]) expect(await stateOf(one)).toEqual(await stateOf(desktop));
  },
);
