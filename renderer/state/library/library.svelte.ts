// The charts of this machine as the view holds them: list, save, duplicate, rename, delete with undo, import.
import type { Chart } from '../../../app/core/model/chart.ts';
import type { Result } from '../../../app/core/base/result.ts';
import type { ChartLibrary, Services } from '../../../app/services/contract/contract.ts';
import { isoNow } from '../../page/clock.ts';
import type { Messages } from '../messages/messages.svelte.ts';
import { freeTitle } from './free-title.ts';

interface LibraryAround {
  readonly services: Pick<Services, 'call'>;
  readonly messages: Messages;
}

/** What was read once is kept up to date from the answers to what is written: nothing is read twice. */
export class Library {
  readonly #around: LibraryAround;
  #loading: Promise<void> | undefined;
  #loaded = $state(false);
  #charts = $state.raw<readonly Chart[]>([]);
  #removed = $state.raw<ChartLibrary['removed']>([]);

  constructor(around: LibraryAround) {
    this.#around = around;
  }

  get loaded(): boolean {
    return this.#loaded;
  }
  get charts(): readonly Chart[] {
    return this.#charts;
  }
  /** Deleted charts that can be brought back, newest first. */
  get removed(): ChartLibrary['removed'] {
    return this.#removed;
  }

  /** Reads the library the first time it is asked for. */
  load = (): Promise<void> => {
    this.#loading ??= this.#read().catch((error: unknown) => {
      this.#loading = undefined;
      throw error;
    });
    return this.#loading;
  };

  find = (id: string): Chart | undefined => this.charts.find((chart) => chart.id === id);

  /** Adds or replaces; undefined after saying why it was refused. */
  save = async (chart: Chart): Promise<Chart | undefined> =>
    this.#hold(await this.#around.services.call('charts.save', { chart }));

  duplicate = (chart: Chart): Promise<Chart | undefined> =>
    this.save({
      ...chart,
      id: crypto.randomUUID(),
      title: freeTitle(`${chart.title} (copy)`, this.charts),
    });

  rename = (chart: Chart, title: string): Promise<Chart | undefined> =>
    this.save({ ...chart, title: title.trim() });

  /** Its log stays; the remark offers to bring it back. */
  remove = async (chart: Chart): Promise<void> => {
    if (!(await this.takeOut(chart.id))) return;
    this.#around.messages.say(`‘${chart.title}’ was deleted. Its log stays.`, {
      label: 'Undo',
      run: () => void this.restore(chart.id),
    });
  };

  /** Removes without a word; false after saying why it was refused. */
  takeOut = async (id: string): Promise<boolean> => {
    const removed = await this.#around.services.call('charts.remove', { id });
    if (!removed.ok) {
      this.#around.messages.refuse(removed.problems);
      return false;
    }
    const gone = this.find(id);
    this.#charts = this.#charts.filter((chart) => chart.id !== id);
    if (gone) this.#removed = [{ id, title: gone.title, at: isoNow() }, ...this.#removed];
    return true;
  };

  restore = async (id: string): Promise<void> => {
    this.#hold(await this.#around.services.call('charts.restore', { id }));
  };

  /** Takes the text of an exported chart; the library is as it was when the text is refused. */
  importText = async (text: string): Promise<Chart | undefined> =>
    this.#hold(await this.#around.services.call('charts.import', { text }));

  async #read(): Promise<void> {
    const read = await this.#around.services.call('charts.list', {});
    this.#charts = read.charts;
    this.#removed = read.removed;
    this.#loaded = true;
    this.#around.messages.refuse(read.problems);
  }

  #hold(answer: Result<Chart>): Chart | undefined {
    if (!answer.ok) {
      this.#around.messages.refuse(answer.problems);
      return undefined;
    }
    const chart = answer.value;
    const at = this.#charts.findIndex(({ id }) => id === chart.id);
    this.#charts = at < 0 ? [...this.#charts, chart] : this.#charts.with(at, chart);
    this.#removed = this.#removed.filter(({ id }) => id !== chart.id);
    return chart;
  }
}
