// Takes in the Ear room: recorded here or opened from a file, kept in memory only, judged, and saved when asked.
import type { Chart } from '../../../app/core/model/chart.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import type { TakeJudged } from '../../../app/core/ear/judge-take.ts';
import { toPcm16, wavHeader } from '../../../app/core/exchange/wave/riff.ts';
import { shapesHeld } from '../../../app/core/units/hands/fewest-barres.ts';
import { unitGrips } from '../../../app/core/units/hands/hands.ts';
import { fail, type Problem } from '../../../app/core/base/result.ts';
import { RECORDED_LAP } from '../../../app/core/timeline/bare-lap.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import type { Bpm, SampleRate, Seconds } from '../../../app/core/base/units.ts';
import { judgeFile } from '../../audio/capture/analysis.ts';
import { Tape } from '../../audio/capture/tape.ts';
import { fileName, saveFile } from '../../page/save-file.ts';
import type { PlayerSettings } from '../settings/settings.svelte.ts';
import type { Sound } from '../sound/sound.svelte.ts';
import type { Ear } from './ear.svelte.ts';

/** Kept before the count-in, and after the last bar for what still rings. */
const BEFORE: Seconds = 0.3;
const AFTER: Seconds = 0.6;

export interface Take {
  readonly name: string;
  readonly bytes: Uint8Array<ArrayBuffer>;
  /** Where the unit's first bar begins, where it is known. */
  readonly start?: Seconds;
  /** Is the delay in that start measured? */
  readonly measured: boolean;
}

export interface TakeOf {
  readonly chart: Chart;
  readonly unit: Unit;
  readonly bpm: Bpm;
}

interface TakesAround {
  readonly ear: Ear;
  readonly sound: Sound;
  readonly settings: PlayerSettings;
}

export class Takes {
  readonly #around: TakesAround;
  #take = $state.raw<Take | null>(null);
  #judged = $state.raw<TakeJudged | null>(null);
  #problems = $state.raw<readonly Problem[]>([]);
  #busy = $state<'recording' | 'judging' | null>(null);
  #tape: Tape | undefined;
  #asked = 0;

  constructor(around: TakesAround) {
    this.#around = around;
  }

  get take(): Take | null {
    return this.#take;
  }
  get judged(): TakeJudged | null {
    return this.#judged;
  }
  get problems(): readonly Problem[] {
    return this.#problems;
  }
  get busy(): 'recording' | 'judging' | null {
    return this.#busy;
  }

  /** Counts in, listens to the unit once, and judges it. */
  play = async (of: TakeOf): Promise<void> => {
    const { ear, sound } = this.#around;
    const capture = await ear.listen();
    const player = capture && (await sound.open());
    if (!capture || !player || this.#busy) return;
    this.#clear('recording');
    const lap = buildLap(of.unit, of.bpm, RECORDED_LAP);
    const scheduled = player.schedule(lap, player.earliest() + BEFORE);
    const { seconds, measured } = ear.roundTrip();
    const from = Math.round((scheduled.startsAt + seconds - BEFORE) * capture.rate);
    const to = from + Math.round((BEFORE + lap.unitEnd + AFTER) * capture.rate);
    this.#tape = new Tape(capture);
    const samples = await this.#tape.between(from, to);
    this.stop();
    this.#busy = null;
    if (!samples) return;
    const start = scheduled.startsAt + seconds + lap.unitStart - from / capture.rate;
    const name = fileName(`${of.chart.title} ${of.unit.name}`, '.wav');
    // Other devices meanwhile, and nobody knows when it really began.
    const steady = measured && ear.roundTrip().seconds === seconds;
    this.#take = { name, bytes: wavOf(samples, capture.rate), start, measured: steady };
    await this.judge(of);
  };

  /** Ends a recording before its time. */
  stop = (): void => {
    this.#tape?.end();
    this.#tape = undefined;
    void this.#around.sound.player().then((player) => player.stop());
  };

  open = async (file: File, of: TakeOf, start: Seconds | undefined): Promise<void> => {
    this.#clear(null);
    const bytes = new Uint8Array(await file.arrayBuffer());
    this.#take = { name: file.name, bytes, measured: true, ...(start !== undefined && { start }) };
    await this.judge(of);
  };

  /** Judges the take once more, e.g. at another tempo or by another rule. */
  judge = async ({ chart, unit, bpm }: TakeOf): Promise<void> => {
    const take = this.#take;
    if (!take || this.#busy === 'recording') return;
    const asking = (this.#asked += 1);
    this.#busy = 'judging';
    const { ear, barres } = this.#around.settings.now;
    const { rule } = ear;
    const grips = unitGrips(unit, shapesHeld(chart, barres));
    const { name, bytes, start } = take;
    const asked = { name, bytes, unit, bpm, rule, ...grips };
    const judged = await judgeFile({
      ...asked,
      ...(start !== undefined && { start }),
    }).catch(notJudged);
    // Something else may have been asked meanwhile: its answer counts.
    if (asking !== this.#asked) return;
    this.#busy = null;
    this.#judged = judged.ok ? judged.value : null;
    this.#problems = judged.ok ? [] : judged.problems;
  };

  save = (): void => {
    if (this.#take) saveFile(this.#take.name, this.#take.bytes, 'audio/wav');
  };

  /** Nothing of a take outlives the room, unless it was saved. */
  forget = (): void => {
    if (this.#busy === 'recording') this.stop();
    this.#clear(null);
  };

  #clear(busy: 'recording' | null): void {
    this.#asked += 1;
    this.#busy = busy;
    this.#take = null;
    this.#judged = null;
    this.#problems = [];
  }
}

function wavOf(samples: Float32Array, rate: SampleRate): Uint8Array<ArrayBuffer> {
  const header = wavHeader(samples.length, rate);
  const bytes = new Uint8Array(header.length + 2 * samples.length);
  bytes.set(header);
  bytes.set(toPcm16(samples), header.length);
  return bytes;
}

const notJudged = (error: unknown) =>
  fail({
    code: 'take-not-judged',
    message: `The ear stopped while it listened (${error instanceof Error ? error.message : 'unknown'}).`,
    cure: 'Judge it again; if it stops again, save the take and try a shorter one.',
  });
