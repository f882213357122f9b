// Settles the entries of a log as they were written, passes and amendments mixed.
import { settlePasses } from '../../app/core/log/history.ts';
import type { LogEntry, PassRecord } from '../../app/core/model/pass.ts';

export const settle = (entries: readonly LogEntry[]): PassRecord[] =>
  settlePasses(
    entries.flatMap((entry) => (entry.kind === 'pass' ? [entry.pass] : [])),
    entries.flatMap((entry) => (entry.kind === 'pass' ? [] : [entry.amendment])),
  );
