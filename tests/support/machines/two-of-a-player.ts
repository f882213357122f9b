// A player's two machines, a laptop and a desktop whose clock is thirty years behind, on one folder.
import type { InAWorld } from './each-in-a-world.ts';
import { carry, type Machine, SURE } from './own-machines.ts';

/** The second has joined by the code of the first, typed in small letters. */
export async function twoOfAPlayer(
  all: InAWorld,
  at = '2031-04-05T18:20:00Z',
): Promise<readonly [Machine, Machine]> {
  const laptop = all.machine('laptop', at);
  const desktop = all.machine('desktop', '1999-01-01T00:00:00Z');
  await laptop.done('shared.choose', { folder: laptop.folder });
  await laptop.done('shared.own', { kind: 'begin', machine: 'Laptop' });
  carry(laptop.folder, desktop.folder, SURE, all.world.random);
  const { code } = (await laptop.call('shared.read', {})).own!;
  await desktop.done('shared.choose', { folder: desktop.folder });
  await desktop.done('shared.own', { kind: 'join', machine: 'Desktop', code: code.toLowerCase() });
  return [laptop, desktop];
}
