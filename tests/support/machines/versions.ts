// What was set on a few machines, each value with a number of its own, and what it was knowingly set over.
import type { Json } from '../../../app/core/exchange/shared/facts.ts';

/** The number in a value; undefined in what is there at first, or last. */
const numberOf = (value: Json | undefined): number | undefined => {
  const number = Number(
    typeof value === 'string' ? value.split('\n').at(-1) : (value ?? undefined),
  );
  return Number.isInteger(number) ? number : undefined;
};

export class Versions {
  readonly #over = new Map<number, number | undefined>();
  readonly #takenAway = new Set<number>();
  /** Numbers of charts' texts that were to be found somewhere when all began to meet. */
  readonly #found = new Set<number>();

  /** @param here what stood there; null takes that away */
  set(value: Json, here: Json | undefined): void {
    const [number, before] = [numberOf(value), numberOf(here)];
    if (number !== undefined) this.#over.set(number, before);
    else if (before !== undefined) this.#takenAway.add(before);
  }

  /** It stands on a machine or in a file. */
  find(key: string, value: Json): void {
    const number = numberOf(value);
    if (key.startsWith('chart:') && number !== undefined) this.#found.add(number);
  }

  /** Texts of charts that nobody set anything over, as far as is known, and that a machine has not. */
  missingIn(values: ReadonlyMap<string, Json>): readonly number[] {
    const there = new Set([...values.values()].map(numberOf));
    const passed = this.#passedBy([...this.#found, ...this.#takenAway]);
    return [...this.#found].filter(
      (one) => !there.has(one) && !passed.has(one) && !this.#takenAway.has(one),
    );
  }

  /** Values that stand though something was set over them by who had them. */
  passedIn(values: ReadonlyMap<string, Json>): readonly number[] {
    const passed = this.#passedBy(this.#over.keys());
    return [...values.values()].flatMap((value) => {
      const number = numberOf(value);
      return number !== undefined && passed.has(number) ? [number] : [];
    });
  }

  /** Those that these were set over, and all before them. */
  #passedBy(those: Iterable<number>): ReadonlySet<number> {
    const passed = new Set<number>();
    for (const one of those)
      for (let before = this.#over.get(one); before !== undefined; before = this.#over.get(before))
        passed.add(before);
    return passed;
  }
}
