// What the machine side needs of the program around it, and what it offers that program.
import type { Chart } from '../../core/model/chart.ts';
import type { Envelope, ParsedInput } from '../contract/contract.ts';
import type { EventName, ServiceEvents } from '../contract/events.ts';
import type { HostInfo, OpenedFile, PrintAnswer } from '../contract/host.ts';
import type { Emit } from '../contract/handlers.ts';
import type { Waiting } from './log/keep-log.ts';
import type { LogStore } from './log/log-store.ts';
import type { OpenVault } from './courier/secrets.ts';
import type { CarrierPace } from './courier/shared-place.ts';
import type { Patience } from './shared/patience.ts';
import type { StoreEngine } from './store/store-file.ts';

/** What differs between the hosts. */
export interface HostActions {
  readonly kind: HostInfo['kind'];
  readonly version: string;
  /** False where there is no window to show it in. */
  readonly openFolder: (directory: string) => Promise<boolean>;
  readonly climbing: (climb: ParsedInput<'host.climbing'>) => void;
  readonly takeFiles: () => Promise<readonly OpenedFile[]>;
  /** The system's own keeper of secrets, where there is one. */
  readonly vault?: OpenVault | undefined;
  readonly printPdf: (input: ParsedInput<'host.printPdf'>) => Promise<PrintAnswer>;
}

export interface ServicesOptions {
  readonly directory: string;
  readonly engine: StoreEngine;
  readonly host: HostActions;
  readonly now: () => Date;
  readonly newId: () => string;
  /** The charts that a new library starts with; read for a new one alone. */
  readonly demoCharts: () => readonly Chart[];
  /** How long a file that was shared is missed before it counts as lost; the usual if left out. */
  readonly patience?: Patience | undefined;
  readonly pace?: CarrierPace | undefined;
}

export interface ServiceHost {
  /** Never throws; a refused call says why. */
  readonly handle: (name: string, input: unknown) => Promise<Envelope<unknown>>;
  /** Every event, for the transport to pass on; returns the function that stops listening. */
  readonly listen: (
    listener: <E extends EventName>(event: E, detail: ServiceEvents[E]) => void,
  ) => () => void;
  /** The log as it is open now, for tests and measurements. */
  readonly log: () => LogStore | undefined;
  readonly emit: Emit;
  /** Writes what still waits and lets the directory go; returns entries that could not be written. */
  readonly close: () => readonly Waiting[];
}
