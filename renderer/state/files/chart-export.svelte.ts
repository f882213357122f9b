// A chart on its way out: which kind of file, the work on it, and the file handed to the user at its end.
import { writeChartText } from '../../../app/core/chart/notation/chart-text.ts';
import type { BandKit } from '../../../app/core/band/model.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import type { Problem, Result } from '../../../app/core/base/result.ts';
import type { SampleRate, Share } from '../../../app/core/base/units.ts';
import { fileName, saveFile } from '../../page/save-file.ts';
import type { Messages } from '../messages/messages.svelte.ts';
import { type FinishedJob, type RunningJob, runJob } from './run-job.ts';
import type { FileJob } from './jobs.ts';
import { type TrackAround, TrackChoices } from './track-choices.svelte.ts';

export type FileKind = 'chart' | 'score' | 'mxl' | 'midi' | 'wav';

/** What music players and the compact disc use. */
export const FILE_RATE: SampleRate = 44_100;

export interface ExportAround extends TrackAround {
  readonly messages: Messages;
  /** The band's sounds at a sample rate. */
  readonly bandKit: (rate: SampleRate) => Promise<BandKit>;
}

export class ChartExport {
  readonly #around: ExportAround;
  #chart = $state.raw<Chart>();
  #running = $state.raw<RunningJob<FileJob['kind']>>();
  #done = $state<Share>(0);
  #outcome = $state.raw<readonly Problem[]>([]);
  #cancelled = $state(false);
  kind = $state<FileKind>('chart');
  readonly track: TrackChoices;

  constructor(around: ExportAround) {
    this.#around = around;
    this.track = new TrackChoices(around);
  }

  get chart(): Chart | undefined {
    return this.#chart;
  }
  /** How much of the file is written; undefined while none is. */
  get done(): Share | undefined {
    return this.#running ? this.#done : undefined;
  }
  /** Why the last file was not written; the page behind the question is out of reach for remarks. */
  get outcome(): readonly Problem[] {
    return this.#outcome;
  }
  get cancelled(): boolean {
    return this.#cancelled;
  }
  readonly ready: boolean = $derived.by(
    () => (this.kind !== 'midi' && this.kind !== 'wav') || this.track.ready,
  );

  /** Opens the question how to write this chart. */
  ask = async (chart: Chart): Promise<void> => {
    this.#chart = chart;
    this.kind = 'chart';
    this.#forget();
    await this.track.open(chart);
  };

  /** Puts the question away; a file half written is given up. */
  close = (): void => {
    this.cancel();
    this.#chart = undefined;
  };

  cancel = (): void => this.#running?.cancel();

  save = async (): Promise<void> => {
    const chart = this.#chart;
    if (!chart || this.#running || !this.ready) return;
    switch (this.kind) {
      case 'chart':
        return this.#hand(chart.title, '.rungchart', writeChartText(chart), 'text/plain');
      case 'score':
        return this.#score(chart);
      case 'mxl':
        return this.#mxl(chart);
      default:
        return this.#sounding(chart, this.kind);
    }
  };

  #score = async (chart: Chart): Promise<void> => {
    const written = await this.#run({ kind: 'score', chart });
    if (written) this.#hand(chart.title, '.musicxml', written.answer, SCORE_TYPE);
  };

  #mxl = async (chart: Chart): Promise<void> => {
    const written = await this.#run({ kind: 'mxl', chart });
    if (written) this.#hand(chart.title, '.mxl', written.file, MXL_TYPE);
  };

  #sounding = async (chart: Chart, kind: 'midi' | 'wav'): Promise<void> => {
    const { unit, levels } = this.track;
    const options = this.track.options();
    if (!unit || !options) return;
    const name = `${chart.title} - ${unit.name}`;
    if (kind === 'midi') {
      const written = await this.#run({ kind, unit, options, title: name });
      if (written) this.#hand(name, '.mid', written.file, 'audio/midi');
    } else {
      const kit = options.band && (await this.#around.bandKit(FILE_RATE));
      const job = { kind, unit, options, levels, sampleRate: FILE_RATE, ...(kit && { kit }) };
      const written = await this.#run(job);
      if (written) this.#hand(name, '.wav', written.file, 'audio/wav');
    }
  };

  /** Undefined after a refusal or after cancelling; {@link outcome} and {@link cancelled} say which. */
  #run = async <K extends FileJob['kind']>(
    job: Extract<FileJob, { kind: K }>,
  ): Promise<FinishedJob<K> | undefined> => {
    this.#done = 0;
    this.#forget();
    const running = runJob<K>(job, (done) => (this.#done = done));
    this.#running = running;
    const result: Result<FinishedJob<K>> | undefined = await running.finished;
    this.#running = undefined;
    this.#cancelled = result === undefined;
    if (result && !result.ok) this.#outcome = result.problems;
    return result?.ok ? result.value : undefined;
  };

  #forget = (): void => {
    this.#outcome = [];
    this.#cancelled = false;
  };

  /** A browser takes a file unasked only soon after a press; later it is offered by a remark. */
  #hand = (name: string, ending: string, content: BlobPart, type: string): void => {
    const file = fileName(name, ending);
    const hand = (): void => saveFile(file, content, type);
    this.#chart = undefined;
    if (navigator.userActivation.isActive) {
      hand();
      this.#around.messages.say(`‘${file}’ is written.`);
    } else this.#around.messages.say(`‘${file}’ is ready.`, { label: 'Save it', run: hand });
  };
}

/** Recommended for MusicXML without and with compression (W3C MusicXML 4.0, container). */
const SCORE_TYPE = 'application/vnd.recordare.musicxml+xml';
const MXL_TYPE = 'application/vnd.recordare.musicxml';
