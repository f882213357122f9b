// What stands under a key, here and on all machines, and which values belong together: parts of a thing, versions of a chart.
import { idAside, textAside } from '../../../../core/exchange/shared/chart-aside.ts';
import {
  type Standing,
  standingOf,
  standingWhole,
  type Write,
} from '../../../../core/exchange/shared/writes.ts';
import { CHART } from './charts-travel.ts';
import type { KeptWrites } from './kept-writes.ts';
import { isOf, NOTHING, type Traveller, type Whole } from './traveller.ts';

interface StandingsAround {
  readonly kept: KeptWrites;
  readonly travellers: readonly Traveller[];
}

export class Standings {
  readonly #around: StandingsAround;

  constructor(around: StandingsAround) {
    this.#around = around;
  }

  wholeOf(key: string): Whole | undefined {
    return this.#around.travellers.find((one) => isOf(one, key))?.wholeOf?.(key);
  }
  /** Does this value stand for itself? */
  isWhole(key: string): boolean {
    return (this.wholeOf(key)?.key ?? key) === key;
  }

  /** Of a part of what is not here, nothing is here. */
  hashHere(key: string): string {
    const { kept } = this.#around;
    const gone = !this.isWhole(key) && this.hashHere(this.wholeOf(key)!.key) === NOTHING;
    return gone ? NOTHING : (kept.here(key)?.hash ?? NOTHING);
  }

  /** With all parts of what is not here yet. */
  withParts(keys: readonly string[]): readonly string[] {
    const { kept } = this.#around;
    const parts = keys.flatMap((key) => {
      const whole = this.wholeOf(key);
      return whole?.key === key && this.hashHere(key) === NOTHING
        ? kept.keysBeginning(whole.parts)
        : [];
    });
    return [...new Set([...keys, ...parts])];
  }

  /**
   * With the keys of charts that these set aside, or set aside before. Those come first: where the program ends in
   * between, what stands here then is taken for what was set here, over what had to stand aside.
   */
  withAsides(keys: readonly string[]): readonly string[] {
    const { kept } = this.#around;
    const charts = keys.filter((key) => key.startsWith(CHART));
    const asides = charts.flatMap((key) =>
      kept.writesOf(key).map((write) => `${CHART}${idAside(key.slice(CHART.length), write)}`),
    );
    return [...new Set([...asides.filter((key) => this.#concerns(key)), ...keys])];
  }

  #concerns(key: string): boolean {
    return this.of(key) !== undefined || this.#around.kept.here(key) !== undefined;
  }

  isAside = (key: string): boolean => this.#asideOf(key) !== undefined;

  /** What stands under a key, a version of another chart that was set aside among it. */
  of(key: string): Standing | undefined {
    const aside = this.#asideOf(key);
    const writes = [...this.#around.kept.writesOf(key), ...(aside ? [aside] : [])];
    return this.wholeOf(key)?.key === key ? standingWhole(writes) : standingOf(writes);
  }

  #asideOf(key: string): Write | undefined {
    const chart = /^chart:(.*)-other-[0-9a-f]{12}$/.exec(key)?.[1];
    if (chart === undefined) return undefined;
    for (const source of this.#around.kept.keysBeginning(`${CHART}${chart}`)) {
      const id = source.slice(CHART.length);
      const found = standingOf(this.#around.kept.writesOf(source))?.aside.find(
        (write) => `${CHART}${idAside(id, write)}` === key,
      );
      if (found && typeof found.value === 'string') {
        const { turn, writer, machine } = found;
        return { key, turn, writer, machine, value: textAside(id, found, found.value) };
      }
    }
    return undefined;
  }
}
