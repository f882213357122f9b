// What the machine side needs of the program around it, and what it offers that program.
import type { Chart } from '../../core/model/chart.ts';
import type { LogEntry } from '../../core/model/pass.ts';
import type {
  Envelope,
  EventName,
  HostInfo,
  ParsedInput,
  PrintAnswer,
  ServiceEvents,
} from '../contract/contract.ts';
import type { Disk } from './store/journal.ts';
import type { StoreEngine } from './store/store-file.ts';

/** What differs between the hosts. */
export interface HostActions {
  readonly kind: HostInfo['kind'];
  readonly version: string;
  readonly climbing: (on: boolean) => void;
  readonly printPdf: (input: ParsedInput<'host.printPdf'>) => Promise<PrintAnswer>;
}

export interface ServicesOptions {
  readonly directory: string;
  readonly engine: StoreEngine;
  readonly host: HostActions;
  readonly now: () => Date;
  readonly newId: () => string;
  readonly demoCharts: readonly Chart[];
  /** Tests put a full disk here. */
  readonly disk?: Disk;
}

export interface ServiceHost {
  /** Never throws; a refused call says why. */
  readonly handle: (name: string, input: unknown) => Promise<Envelope<unknown>>;
  /** Every event, for the transport to pass on; returns the function that stops listening. */
  readonly listen: (
    listener: <E extends EventName>(event: E, detail: ServiceEvents[E]) => void,
  ) => () => void;
  readonly emit: <E extends EventName>(event: E, detail: ServiceEvents[E]) => void;
  /** Writes what still waits and lets the directory go; returns entries that could not be written. */
  readonly close: () => readonly LogEntry[];
}
