// What each step of an interleaving does.
import type { EngineMachine } from './engine.ts';
import { BY_FILE, type Hub, HUB } from './hub.ts';
import type { Practice } from './practice.ts';
import { idOf } from './pupils.ts';
import type { Step } from './steps.ts';

type Does = Step['does'];
type ByFile = (typeof BY_FILE)[number];

export interface Around {
  readonly all: readonly EngineMachine[];
  readonly hub: Hub;
  readonly practice: Practice;
}

interface Deed extends Around {
  readonly machine: EngineMachine;
  /** Another one. */
  readonly next: EngineMachine;
  readonly n: number;
}

const DEEDS: Readonly<Record<Exclude<Does, ByFile>, (deed: Deed) => unknown>> = {
  play: ({ practice, machine, n }) => practice.play(machine, n),
  word: ({ practice, machine, n }) => practice.word(machine, n),
  set: ({ practice, machine, n }) => practice.set(machine, n),
  unset: ({ practice, machine, n }) => practice.unset(machine, n),
  edit: ({ practice, machine, n }) => practice.edit(machine, n),
  sync: ({ machine }) => machine.sync(),
  'play while it syncs': ({ practice, machine, n }) =>
    machine.sync(() => practice.play(machine, n), n % 4),
  'set while it syncs': ({ practice, machine, n }) =>
    machine.sync(() => practice.set(machine, n), n % 4),
  'edit while it syncs': ({ practice, machine, n }) =>
    machine.sync(() => practice.edit(machine, n), n % 4),
  'sync while it syncs': ({ machine, n }) => machine.sync(() => machine.syncAnew(), n % 4),
  'fetch while it syncs': ({ hub, machine, n }) =>
    machine.sync(() => hub.carryAll(HUB, machine.folder), n % 4),
  'go away while it syncs': ({ machine, n }) => machine.sync(() => (machine.away = true), n % 4),
  tell: ({ machine }) => machine.tell(),
  'die in a sync': ({ machine, n }) => machine.dieInSync(n % 16),
  restart: ({ machine }) => machine.restart(),
  'back up': ({ hub, machine }) => {
    hub.backUp();
    machine.backUp();
  },
  restore: ({ machine }) => machine.restore(),
  'restore the log': ({ machine }) => machine.restoreLog(),
  'restore the folder': ({ machine }) => machine.restoreFolder(),
  'restore the hub': ({ hub }) => hub.restore(),
  'mend the log': ({ machine }) => machine.mendLog(),
  'copy the machine': ({ hub, machine, next }) => {
    hub.sharesNames = true;
    machine.copy(next);
  },
  move: ({ machine }) => machine.move(),
  'turn the clock': ({ machine, n }) => machine.turnClock((n % 2 === 0 ? 1 : -1) * 400 * (n % 50)),
  'go away': ({ machine }) => (machine.away = !machine.away),
  'send all': ({ hub, machine }) => hub.carryAll(machine.folder, HUB),
  'fetch all': ({ hub, machine }) => hub.carryAll(HUB, machine.folder),
  clear: ({ hub, machine }) => hub.clear(machine),
  destroy: ({ hub, n }) => hub.destroy(n),
  join: ({ machine }) => (machine.away ? undefined : machine.join()),
  teach: ({ practice, machine, n }) => practice.teach(machine, n),
  report: ({ practice, machine, n }) => practice.report(machine, n),
  'take off': ({ machine, n }) => machine.takeOff(idOf(n)),
  'remove for good': ({ machine, n }) => machine.removeForGood(idOf(n)),
  'remove while it syncs': ({ machine, n }) =>
    machine.sync(() => machine.removeForGood(idOf(n)), n % 5),
  'die while removing': ({ machine, n }) => machine.dieRemoving(idOf(n), n % 4),
};

const isByFile = (does: Does): does is ByFile => BY_FILE.some((one) => one === does);

export async function take({ does, m, n }: Step, around: Around): Promise<void> {
  const { all, hub } = around;
  const machine = all[m % all.length]!;
  const next = all[(m + 1) % all.length]!;
  if (isByFile(does)) hub.carry(does, machine, n);
  else await DEEDS[does]({ ...around, machine, next, n });
}
