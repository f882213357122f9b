// What an archive is made of and brought into: the charts, the log, the small documents of a data folder.
import path from 'node:path';
import type { Student } from '../../../core/progress/assignment.ts';
import type { SavedLadder } from '../../contract/contract.ts';
import type { ChartFolder } from '../charts/chart-folder.ts';
import type { LogKeeper } from '../log/keep-log.ts';
import type { DataFolder } from '../store/data-folder.ts';
import type { Documents } from '../store/documents.ts';
import type { SettingsStore } from '../store/settings-store.ts';

export interface Keeping {
  readonly folder: DataFolder;
  readonly charts: ChartFolder;
  readonly log: LogKeeper;
  readonly students: Documents<Student>;
  readonly ladders: Documents<SavedLadder>;
  readonly settings: SettingsStore;
  readonly now: () => Date;
  /** Version of the program. */
  readonly version: string;
}

/** Where what goes out and what comes in lies meanwhile. */
export const workFolder = ({ folder }: Keeping): string => path.join(folder.directory, 'archives');
/** What stays there of what was saved and brought in last. */
export const [MADE, UNDO] = ['made.zip', 'undo.json'] as const;
/** Where the log stands in the data folder. */
export const logFile = ({ folder }: Keeping): string => path.join(folder.directory, 'log.sqlite');
