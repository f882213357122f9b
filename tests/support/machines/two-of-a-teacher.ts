// A teacher's two machines, at school and at home, on one folder.
import type { Patience } from '../../../app/services/machine/shared/patience.ts';
import type { InAWorld } from './each-in-a-world.ts';
import { AT } from './lesson.ts';
import { carry, type Machine, SURE } from './own-machines.ts';

/** They have met. @param apart whether each student has a folder in the shared one */
export async function twoOfATeacher(
  all: InAWorld,
  apart: boolean,
  patience?: Patience,
): Promise<readonly [Machine, Machine]> {
  const school = all.machine('school', AT, patience);
  const home = all.machine('home', '1999-01-01T00:00:00Z', patience);
  await school.done('shared.choose', { folder: school.folder });
  await school.done('shared.own', { kind: 'begin', machine: 'School' });
  if (apart) await school.done('shared.parted', { apart });
  carry(school.folder, home.folder, SURE, all.world.random);
  const { code } = (await school.call('shared.read', {})).own!;
  await home.done('shared.choose', { folder: home.folder });
  await home.done('shared.own', { kind: 'join', machine: 'Home', code });
  await all.meet(school, home);
  return [school, home];
}
