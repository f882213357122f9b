// The way to the export, whose code is fetched with the first chart that goes out: the list needs none of it.
import type { Chart } from '../../../app/core/model/chart.ts';

class ExportDoor {
  #opened = $state(false);

  /** Has a chart been on its way out since the program started? Then its dialog belongs on the page. */
  get opened(): boolean {
    return this.#opened;
  }

  /** Opens the question how to write this chart. */
  ask = async (chart: Chart): Promise<void> => {
    const { chartExport } = await import('./chart-export.svelte.ts');
    this.#opened = true;
    await chartExport.ask(chart);
  };
}

export const exportDoor = new ExportDoor();
