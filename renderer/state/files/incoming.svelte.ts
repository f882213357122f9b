// The one door for what people have: our own files as they are; scores after a look at what of them cannot be taken; sheets of chords as drafts.
import { SvelteMap } from 'svelte/reactivity';
import { MAX_IMPORT_LENGTH } from '../../../app/core/model/limits.ts';
import type { Chart, ChartBody } from '../../../app/core/model/chart.ts';
import { type Problem, type Result, ok } from '../../../app/core/base/result.ts';
import { textOf } from '../../../app/core/exchange/open/text-of.ts';
import type { OpenedScore } from '../../../app/core/exchange/musicxml/read/read.ts';
import { freeTitle } from '../library/free-title.ts';
import type { Library } from '../library/library.svelte.ts';
import type { Messages } from '../messages/messages.svelte.ts';
import type { Router } from '../shell/router.svelte.ts';
import type { Paper } from './read-paper.ts';
import { type RunningJob, runJob } from './run-job.ts';

/** Checks a whole chart, and reads sheets; fetched with the first file. */
const reader = () => import('./read-paper.ts');

/** A score that was opened, but not yet put into the library. */
export interface OpenedFile {
  readonly name: string;
  readonly chart: ChartBody;
  readonly warnings: readonly Problem[];
}

export const CHART_FILES =
  '.rungchart,.txt,.json,.musicxml,.mxl,.xml,.mid,.midi,text/plain,application/json,audio/midi';

/** Bytes of the largest score that is opened; the reader has limits of its own. */
const MAX_SCORE = 20_000_000;
/** Told by the name, which people see; what the file really is shows when it is opened. */
export const isScoreName = (name: string): boolean => /\.(musicxml|xml|mxl|midi?)$/i.test(name);
/** Work shorter than this needs no words about it (a second is where a wait is felt; common practice, no source). */
const SOON_MS = 1000;

interface IncomingAround {
  readonly library: Library;
  readonly messages: Messages;
  readonly router: Router;
}

export class Incoming {
  readonly #around: IncomingAround;
  #waiting = $state.raw<readonly OpenedFile[]>([]);
  #reading = $state<string>();
  #running: RunningJob<'read-score'> | undefined;
  readonly #notes = new SvelteMap<string, readonly string[]>();

  constructor(around: IncomingAround) {
    this.#around = around;
  }

  /** The score that is asked about. */
  get asked(): OpenedFile | undefined {
    return this.#waiting[0];
  }
  /** What was guessed or left out of a sheet that became this chart, since the program started. */
  notesOf = (chart: string): readonly string[] => this.#notes.get(chart) ?? [];

  /** Name of a file that takes long to open. */
  get reading(): string | undefined {
    return this.#reading;
  }

  /** One by one; each refusal names its file, and the library stays as it was. */
  take = async (files: readonly File[]): Promise<void> => {
    for (const file of files) {
      const isScore = isScoreName(file.name);
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
    const [text, { readPaper }] = await Promise.all([this.readText(file), reader()]);
    if (!text.ok) return this.#refuse(file, text.problems);
    const paper = readPaper(text.value, file.name);
    if (paper.kind === 'refused') return this.#refuse(file, paper.problems);
    if (paper.kind === 'draft') return this.#takeDraft(paper);
    const chart = await this.#around.library.importText(text.value);
    if (chart) this.#around.messages.say(`‘${chart.title}’ was brought in.`);
  };

  /** A chart whose bars are guessed is opened, so that they are looked through. */
  async #takeDraft({ chart, notes }: Extract<Paper, { kind: 'draft' }>): Promise<void> {
    const saved = await this.#save({ chart });
    if (!saved) return;
    this.#notes.set(saved.id, notes);
    this.#around.router.go('charts', saved.id);
  }

  #openScore = async (file: File): Promise<void> => {
    const result = await this.readScore(new Uint8Array(await file.arrayBuffer()), file.name);
    if (!result) return;
    if (!result.ok) return this.#refuse(file, result.problems);
    const opened = { name: file.name, ...result.value };
    if (opened.warnings.length === 0) await this.#save(opened);
    else this.#waiting = [...this.#waiting, opened];
  };

  /** In whichever encoding it was written. */
  readText = async (file: File): Promise<Result<string>> =>
    textOf(new Uint8Array(await file.arrayBuffer()), TextDecoder);

  /** MusicXML or MIDI, read beside the page; undefined where that was cancelled. `name` is said while it takes long. */
  readScore = async (bytes: Uint8Array, name: string): Promise<Result<OpenedScore> | undefined> => {
    const timer = setTimeout(() => (this.#reading = name), SOON_MS);
    this.#running = runJob<'read-score'>({ kind: 'read-score', bytes });
    const result = await this.#running.finished;
    clearTimeout(timer);
    this.#running = undefined;
    this.#reading = undefined;
    return result?.ok ? ok(result.value.answer) : result;
  };

  #refuse(file: File, problems: readonly Problem[]): void {
    this.#around.messages.refuse(problems.map((problem) => named(file.name, problem)));
  }

  async #save({ chart }: Pick<OpenedFile, 'chart'>): Promise<Chart | undefined> {
    const { library, messages } = this.#around;
    const title = freeTitle(chart.title, library.charts);
    const saved = await library.save({ ...chart, title, id: crypto.randomUUID() });
    if (saved) messages.say(`‘${saved.title}’ was brought in.`);
    return saved;
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
