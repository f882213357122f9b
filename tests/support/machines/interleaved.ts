// One interleaving: what a few machines do, and what happens to the files between them, in any order; then all meet.
import { take } from './deeds.ts';
import { CALM, EngineMachine } from './engine.ts';
import { Hub, HUB } from './hub.ts';
import { MemoryDisk } from './memory-files.ts';
import { Outcome } from './outcome.ts';
import { Practice } from './practice.ts';
import { isGentle, type Step } from './steps.ts';

const ROUNDS = 16;

class Interleaving {
  readonly #disk = new MemoryDisk();
  readonly #all: readonly EngineMachine[];
  readonly #hub: Hub;
  readonly #practice = new Practice();
  readonly #outcome: Outcome;
  #isGentle = true;

  constructor(machines: number) {
    this.#all = Array.from({ length: machines }, (_, i) => new EngineMachine(this.#disk, `m${i}`));
    this.#hub = new Hub(this.#disk, this.#all);
    this.#outcome = new Outcome({
      ...{ all: this.#all, hub: this.#hub, disk: this.#disk },
      versions: this.#practice.versions,
    });
    this.#all[0]!.join();
  }

  close(): void {
    this.#all.forEach((one) => one.close());
  }

  async take(step: Step): Promise<void> {
    this.#isGentle &&= isGentle(step);
    await take(step, { all: this.#all, hub: this.#hub, practice: this.#practice });
  }

  /** All are there, and everything arrives, until nothing more is written. Returns what is wrong then. */
  async meet(): Promise<readonly string[]> {
    for (const machine of this.#all) machine.away = false;
    this.#outcome.remember();
    for (const machine of this.#all) machine.join();
    let before = '';
    let calm = 0;
    for (let round = 1; ; round++) {
      for (const machine of this.#all) {
        this.#hub.carryAll(HUB, machine.folder);
        const came = new Set(this.#hub.namesBelow(machine.folder));
        await machine.sync();
        this.#hub.carryAll(machine.folder, HUB);
        this.#hub.clear(machine, came);
      }
      const now = JSON.stringify(this.#hub.filesIn(HUB).map((at) => [at, this.#disk.text(at)]));
      calm = now === before ? calm + 1 : 0;
      if (calm === CALM) break;
      if (round === ROUNDS) return [`they still write after ${ROUNDS} rounds`];
      before = now;
    }
    return [...this.#all.flatMap(({ faults }) => faults), ...this.#outcome.faults(this.#isGentle)];
  }

  /** A last choice, which everybody knows of, stands everywhere. */
  async lastChoice(): Promise<readonly string[]> {
    const machine = this.#all.at(-1)!;
    this.#practice.choose(machine, 'setting:0', 'last');
    this.#practice.choose(machine, 'chart:0', 'title: Song 0\nlast');
    const wrong = await this.meet();
    const stands = this.#all.every(
      ({ values }) =>
        values.get('setting:0') === 'last' && values.get('chart:0') === 'title: Song 0\nlast',
    );
    return stands ? wrong : [...wrong, 'the last choice does not stand'];
  }
}

export async function faultsOf(
  machines: number,
  steps: readonly Step[],
): Promise<readonly string[]> {
  const all = new Interleaving(machines);
  try {
    for (const step of steps) await all.take(step);
    const wrong = await all.meet();
    return wrong.length > 0 ? wrong : await all.lastChoice();
  } finally {
    all.close();
  }
}
