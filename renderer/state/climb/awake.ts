// Keeps the display awake and the window at its full speed while somebody climbs.
import type { Services } from '../../../app/services/contract/contract.ts';

/** A host that cannot is no reason to stop a climb: nothing is lost by it. */
export class Awake {
  readonly #services: Pick<Services, 'call'>;

  constructor(services: Pick<Services, 'call'>) {
    this.#services = services;
  }

  keep(): void {
    this.#tell({ on: true, paused: false });
  }

  /** In a long pause the display may sleep. */
  pause(): void {
    this.#tell({ on: true, paused: true });
  }

  leave(): void {
    this.#tell({ on: false, paused: false });
  }

  #tell(climbing: { readonly on: boolean; readonly paused: boolean }): void {
    this.#services.call('host.climbing', climbing).catch(() => undefined);
  }
}
