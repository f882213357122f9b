// The logs of a data directory: the player's own, and one for each student whose reports were taken in.
import path from 'node:path';
import { OWN_DESK } from '../../core/progress/assignment.ts';
import type { LogEntry } from '../../core/model/pass.ts';
import type { Keeper } from './keeper.ts';
import { keepLog } from './keeper.ts';
import type { ServicesOptions } from './host.ts';
import type { StandingProblems } from './standing-problems.ts';
import { openLogStore } from './store/log-store.ts';

export interface Logs {
  /** Opened on first use. @param desk Safe in a file name: the contract lets letters, digits and hyphens through. */
  readonly of: (desk: string) => Keeper;
  readonly retry: () => void;
  /** Returns what could not be written. */
  readonly close: () => readonly LogEntry[];
}

/** The player's own log is opened (and its journal filed) at once. */
export function keepLogs(options: ServicesOptions, standing: StandingProblems): Logs {
  const { directory, engine, now, disk } = options;
  const keepers = new Map<string, Keeper>();
  const open = (desk: string): Keeper => {
    const log = openLogStore({
      directory:
        desk === OWN_DESK ? path.join(directory, 'log') : path.join(directory, 'logs', desk),
      engine,
      keeping: { root: directory, now },
      ...(disk ? { disk } : {}),
    });
    log.problems.forEach(standing.raise);
    const keeper = keepLog(log, standing);
    keepers.set(desk, keeper);
    return keeper;
  };
  open(OWN_DESK);
  const all = (): Keeper[] => [...keepers.values()];
  return {
    of: (desk) => keepers.get(desk) ?? open(desk),
    retry: () => all().forEach((keeper) => keeper.retry()),
    close: () => {
      all().forEach((keeper) => keeper.close());
      return all().flatMap((keeper) => keeper.waiting());
    },
  };
}
