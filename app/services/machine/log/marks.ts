// Marks of bars: what was made of their passes may be kept for as long as their mark stays the same.
import type { DatabaseSync } from 'node:sqlite';
import type { LogEntry } from '../../../core/model/pass.ts';

export class Marks {
  readonly #changes;
  readonly #played;
  /** By fingerprint of the bars. */
  #marks = new Map<string, object>();
  #seen: number;

  constructor(database: DatabaseSync) {
    this.#changes = database.prepare('select total_changes() as n');
    this.#played = database.prepare(
      `select fingerprint from passes join bars on bars.ref = passes.bars
       join desks on desks.ref = passes.desk where desks.name = ? and passes.id = ?`,
    );
    this.#seen = this.#rowsChanged();
  }

  /** The same object until something of these bars is written, or the log was changed in another way. */
  of(bars: string): object {
    this.#lookAround();
    const known = this.#marks.get(bars) ?? {};
    this.#marks.set(bars, known);
    return known;
  }

  /** Writes these entries: the marks of the bars that they are about are others afterwards. */
  writing(desk: string, entries: readonly LogEntry[], write: () => void): void {
    this.#lookAround();
    write();
    for (const entry of entries) {
      const bars = entry.kind === 'pass' ? entry.unit.fingerprint : this.#barsOf(desk, entry);
      if (bars !== undefined) this.#marks.delete(bars);
    }
    this.#seen = this.#rowsChanged();
  }

  /** What changed rows beside {@link writing} may have changed any. */
  #lookAround(): void {
    const now = this.#rowsChanged();
    if (now !== this.#seen) this.#marks = new Map();
    this.#seen = now;
  }

  #rowsChanged = (): number => (this.#changes.get() as { n: number }).n;

  #barsOf(desk: string, { amendment }: LogEntry & { kind: 'amendment' }): string | undefined {
    const found = this.#played.get(desk, amendment.amends) as { fingerprint: string } | undefined;
    return found?.fingerprint;
  }
}
