// Brings the values that stand here to those that stand on all machines, and tells which were changed here.
import type { Json, ValueSet } from '../../../../core/exchange/shared/facts.ts';
import { idOf } from '../../../../core/exchange/shared/writes.ts';
import { CHART } from './charts-travel.ts';
import type { KeptWrites } from './kept-writes.ts';
import { Standings } from './standings.ts';
import { hashOf, isOf, NOTHING, type Traveller, type Value } from './traveller.ts';

interface SettlingAround {
  readonly kept: KeptWrites;
  readonly travellers: readonly Traveller[];
}

/** Keys of values that changed here, and of charts that two machines had changed: both versions were kept. */
export interface Settled {
  readonly values: readonly string[];
  readonly both: readonly string[];
}

export class Settling {
  readonly #around: SettlingAround;
  readonly #standings: Standings;

  constructor(around: SettlingAround) {
    this.#around = around;
    this.#standings = new Standings(around);
  }

  valuesHere(): ReadonlyMap<string, Value> {
    return new Map(this.#awake.flatMap(({ values }) => [...values()]));
  }
  get #awake(): readonly Traveller[] {
    return this.#around.travellers.filter(({ rests }) => rests?.() !== true);
  }

  /**
   * A machine that joins others takes over how they are set; charts that differ are kept in both versions, and a task
   * that was changed more often here stands.
   */
  adopt(here: ReadonlyMap<string, Value>): void {
    const { kept } = this.#around;
    kept.run(() => {
      for (const [key, value] of here) {
        const top = this.#standings.of(key)?.top;
        if (!top) continue;
        const differs = hashOf(top.value) !== value.hash;
        if (differs && (key.startsWith(CHART) || isFurther(value.read(), top.value))) continue;
        kept.setHere(key, { hash: value.hash, id: idOf(top) });
      }
    });
  }

  /** The values that were changed here since they were last looked at. */
  changed(here: ReadonlyMap<string, Value>): readonly Omit<ValueSet, 'turn' | 'by'>[] {
    const { kept } = this.#around;
    const awake = new Set(this.#awake);
    const resting = this.#around.travellers.filter((one) => !awake.has(one));
    const told = kept
      .keysHere()
      .filter((key) => !resting.some((one) => isOf(one, key)))
      // What is taken away as a whole is told as a whole.
      .filter(
        (key) =>
          here.has(key) ||
          this.#standings.isWhole(key) ||
          here.has(this.#standings.wholeOf(key)!.key),
      );
    return [...new Set([...here.keys(), ...told])].flatMap((key) => {
      const value = here.get(key);
      const before = kept.here(key);
      if ((value?.hash ?? NOTHING) === (before?.hash ?? NOTHING)) return [];
      return [{ key, value: value?.read() ?? null, over: before?.id }];
    });
  }

  /** Brings what stands here to what stands everywhere. */
  settle(): Settled {
    const { kept, travellers } = this.#around;
    const keys = this.#standings.withParts(this.#standings.withAsides([...kept.touched]));
    const values: string[] = [];
    const both: string[] = [];
    const waiting = new Set<string>();
    for (const traveller of travellers) {
      const mine = keys.filter((key) => isOf(traveller, key));
      if (traveller.rests?.()) {
        mine.forEach((key) => waiting.add(key));
        continue;
      }
      const news = new Map<string, Json>();
      for (const key of mine) {
        const value = this.#standings.of(key)?.top.value ?? null;
        if (hashOf(value) !== this.#standings.hashHere(key)) news.set(key, value);
      }
      // What cannot be taken over yet is looked at again with the next that comes.
      const left =
        news.size > 0
          ? traveller.take(news, (key) => this.#standings.of(key)?.top.value)
          : undefined;
      left?.forEach((key) => news.delete(key));
      const taken = left && left.size > 0 ? mine.filter((key) => !left.has(key)) : mine;
      left?.forEach((key) => waiting.add(key));
      const now = news.size > 0 ? traveller.values() : new Map<string, Value>();
      kept.run(() => {
        for (const key of taken) {
          const id = this.#standings.of(key)?.top;
          const hash = news.has(key) ? (now.get(key)?.hash ?? NOTHING) : kept.here(key)?.hash;
          kept.setHere(key, { hash: hash ?? NOTHING, id: id && idOf(id) });
        }
        // Others of the same kind may have moved with them, as the order of tasks does.
        for (const [key, { hash }] of now) {
          const before = kept.here(key);
          if (before && before.hash !== hash) kept.setHere(key, { ...before, hash });
        }
      });
      kept.settled(taken);
      values.push(...news.keys());
      both.push(...[...news.keys()].filter((key) => this.#standings.isAside(key)));
    }
    kept.settled(keys.filter((key) => !waiting.has(key)));
    return { values, both };
  }
}

/** Was a task changed more often than the other version of it? */
function isFurther(here: Json, there: Json): boolean {
  const changes = (task: Json): number => {
    const earlier = (task as { readonly earlier?: unknown } | null)?.earlier;
    return Array.isArray(earlier) ? earlier.length : 0;
  };
  return changes(here) > changes(there);
}
