// Charts on their way in: our own files as they are; scores after a look at what of them cannot be taken.
import { MAX_IMPORT_LENGTH } from '../../../app/core/model/limits.ts';
import type { ChartBody } from '../../../app/core/model/chart.ts';
import type { Problem } from '../../../app/core/base/result.ts';
import { freeTitle } from '../library/free-title.ts';
import type { Library } from '../library/library.svelte.ts';
import type { Messages } from '../messages/messages.svelte.ts';
import { type RunningJob, runJob } from './run-job.ts';

/** Checks a whole chart; fetched with the first file. */
const reader = () => import('../../../app/core/chart/notation/chart-text.ts');

/** A score that was opened, but not yet put into the library. */
export interface OpenedFile {
  readonly name: string;
  readonly chart: ChartBody;
  readonly warnings: readonly Problem[];
}

export const CHART_FILES = '.rungchart,.txt,.json,.musicxml,.mxl,.xml,text/plain,application/json';

/** Bytes of the largest score that is opened; the reader has limits of its own. */
const MAX_SCORE = 20_000_000;
const SCORE_ENDING = /\.(musicxml|xml|mxl)$/i;
/** Work shorter than this needs no words about it (a second is where a wait is felt; common practice, no source). */
const SOON_MS = 1000;

interface IncomingAround {
  readonly library: Library;
  readonly messages: Messages;
}

export class Incoming {
  readonly #around: IncomingAround;
  #waiting = $state.raw<readonly OpenedFile[]>([]);
  #reading = $state<string>();
  #running: RunningJob<'read-score'> | undefined;

  constructor(around: IncomingAround) {
    this.#around = around;
  }

  /** The score that is asked about. */
  get asked(): OpenedFile | undefined {
    return this.#waiting[0];
  }
  /** Name of a file that takes long to open. */
  get reading(): string | undefined {
    return this.#reading;
  }

  /** One by one; each refusal names its file, and the library stays as it was. */
  take = async (files: readonly File[]): Promise<void> => {
    for (const file of files) {
      const isScore = SCORE_ENDING.test(file.name);
      const most = isScore ? MAX_SCORE : MAX_IMPORT_LENGTH;
      if (file.size > most) this.#around.messages.refuse([tooLarge(file.name, most)]);
      else if (isScore) await this.#openScore(file);
      else await this.#takeChart(file);
    }
  };

  accept = async (): Promise<void> => {
    const file = this.asked;
    this.leave();
    if (file) await this.#save(file);
  };

  leave = (): void => {
    this.#waiting = this.#waiting.slice(1);
  };

  cancel = (): void => this.#running?.cancel();

  #takeChart = async (file: File): Promise<void> => {
    const [text, { readAnyChart }] = await Promise.all([file.text(), reader()]);
    const read = readAnyChart(text, 'new');
    if (!read.ok)
      return this.#around.messages.refuse(read.problems.map((p) => named(file.name, p)));
    const chart = await this.#around.library.importText(text);
    if (chart) this.#around.messages.say(`‘${chart.title}’ was brought in.`);
  };

  #openScore = async (file: File): Promise<void> => {
    const bytes = new Uint8Array(await file.arrayBuffer());
    const timer = setTimeout(() => (this.#reading = file.name), SOON_MS);
    this.#running = runJob<'read-score'>({ kind: 'read-score', bytes });
    const result = await this.#running.finished;
    clearTimeout(timer);
    this.#running = undefined;
    this.#reading = undefined;
    if (!result) return;
    if (!result.ok)
      return this.#around.messages.refuse(result.problems.map((p) => named(file.name, p)));
    const opened = { name: file.name, ...result.value.answer };
    if (opened.warnings.length === 0) await this.#save(opened);
    else this.#waiting = [...this.#waiting, opened];
  };

  async #save({ chart }: OpenedFile): Promise<void> {
    const { library, messages } = this.#around;
    const title = freeTitle(chart.title, library.charts);
    const saved = await library.save({ ...chart, title, id: crypto.randomUUID() });
    if (saved) messages.say(`‘${saved.title}’ was brought in.`);
  }
}

const named = (file: string, problem: Problem): Problem => ({
  ...problem,
  message: `‘${file}’: ${problem.message}`,
});

const tooLarge = (file: string, most: number): Problem => ({
  code: 'file-large',
  message: `‘${file}’ is larger than ${most / 1e6} MB, the most a chart file may have.`,
  cure: 'Choose a chart file that Rungwise exported, or a shorter score.',
});
