// A world for each test of a file, and the machines and hosts in it, which are closed after it.
import { afterEach, beforeEach } from 'vitest';
import type { Patience } from '../../../app/services/machine/shared/patience.ts';
import { startTalkingHost, type TalkingHost } from './host.ts';
import { carry, Machine, openWorld, SURE, type World } from './own-machines.ts';

export interface InAWorld {
  readonly world: World;
  /** Closes it after the test. */
  readonly opened: (made: Machine) => Machine;
  readonly machine: (name: string, at: string, patience?: Patience) => Machine;
  /** A browser host that has chosen its folder. */
  readonly host: (name: string, at: string) => Promise<TalkingHost>;
  /** Files go both ways, and all take them in. */
  readonly meet: (...all: readonly Machine[]) => Promise<void>;
}

/** @param seed the same chances for the same seed */
export function eachInAWorld(seed: number): InAWorld {
  let world: World;
  let open: { readonly close: () => unknown }[] = [];
  beforeEach(() => {
    world = openWorld(seed);
  });
  afterEach(async () => {
    for (const one of open) await one.close();
    open = [];
    world.close();
  });
  const opened = (made: Machine): Machine => {
    open.push(made);
    return made;
  };
  return {
    get world() {
      return world;
    },
    opened,
    machine: (name, at, patience) => opened(new Machine(world, name, () => new Date(at), patience)),
    host: async (name, at) => {
      const made = await startTalkingHost(world.root, name, () => new Date(at));
      open.push(made);
      await made.done('shared.choose', { folder: made.folder });
      return made;
    },
    meet: async (...all) => {
      for (let round = 0; round < 2; round++) {
        for (const one of all) {
          await one.call('shared.sync', {});
          carry(one.folder, world.hub, SURE, world.random);
        }
        for (const one of all) carry(world.hub, one.folder, SURE, world.random);
        for (const one of all) await one.call('shared.sync', {});
      }
    },
  };
}
