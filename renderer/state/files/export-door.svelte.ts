// The way to the export, whose code is fetched with the first chart that goes out: the list needs none of it.
import type { Chart } from '../../../app/core/model/chart.ts';
import type { ChartExport, ExportAround } from './chart-export.svelte.ts';

export class ExportDoor {
  readonly #around: ExportAround;
  #out = $state.raw<ChartExport>();

  constructor(around: ExportAround) {
    this.#around = around;
  }

  /** The export, once a chart has been on its way out: then its dialog belongs on the page. */
  get out(): ChartExport | undefined {
    return this.#out;
  }

  /** Opens the question how to write this chart. */
  ask = async (chart: Chart): Promise<void> => {
    const { ChartExport: Export } = await import('./chart-export.svelte.ts');
    this.#out ??= new Export(this.#around);
    await this.#out.ask(chart);
  };
}
