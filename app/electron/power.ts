// Sleep and wake of the machine, told to the view: the climb pauses, and checks its sound afterwards.
import { powerMonitor } from 'electron';
import type { ServiceHost } from '../services/machine/host.ts';

/** Tells the view when the machine goes to sleep and wakes. */
export function setUpPower(services: ServiceHost): void {
  for (const state of ['suspend', 'resume'] as const) {
    powerMonitor.on(state as 'suspend', () => services.emit('power', { state }));
  }
}
