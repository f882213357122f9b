// The charts of this machine as the view holds them: list, save, duplicate, rename, delete with undo, import.
import type { Chart } from '../../../app/core/model/chart.ts';
import type { ChartLibrary } from '../../../app/services/contract/contract.ts';
import { call } from '../../services.ts';
import { freeTitle } from './free-title.ts';
import { messages } from '../messages.svelte.ts';

class Library {
  #read = $state.raw<ChartLibrary>();

  get loaded(): boolean {
    return this.#read !== undefined;
  }
  get charts(): readonly Chart[] {
    return this.#read?.charts ?? [];
  }
  /** Deleted charts that can be brought back, newest first. */
  get removed(): ChartLibrary['removed'] {
    return this.#read?.removed ?? [];
  }

  load = async (): Promise<void> => {
    this.#read = await call('charts.list', {});
    messages.refuse(this.#read.problems);
  };

  find = (id: string): Chart | undefined => this.charts.find((chart) => chart.id === id);

  /** Adds or replaces; undefined after saying why it was refused. */
  save = async (chart: Chart): Promise<Chart | undefined> => {
    const saved = await call('charts.save', { chart });
    if (!saved.ok) messages.refuse(saved.problems);
    await this.load();
    return saved.ok ? saved.value : undefined;
  };

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
    const removed = await call('charts.remove', { id: chart.id });
    if (!removed.ok) return messages.refuse(removed.problems);
    await this.load();
    messages.say(`‘${chart.title}’ was deleted. Its log stays.`, {
      label: 'Undo',
      run: () => void this.restore(chart.id),
    });
  };

  restore = async (id: string): Promise<void> => {
    const restored = await call('charts.restore', { id });
    if (!restored.ok) messages.refuse(restored.problems);
    await this.load();
  };

  /** Takes the text of an exported chart; the library is as it was when the text is refused. */
  importText = async (text: string): Promise<Chart | undefined> => {
    const imported = await call('charts.import', { text });
    if (!imported.ok) messages.refuse(imported.problems);
    await this.load();
    return imported.ok ? imported.value : undefined;
  };
}

export const library = new Library();
