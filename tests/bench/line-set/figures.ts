// The line ear's figures over a set of takes: what it accepts, what it catches, how far bends are off.
import { fileURLToPath } from 'node:url';
import { judgeLead } from '../../../app/core/ear/lead/judge-lead.ts';
import type { NoteHeard } from '../../../app/core/ear/lead/model.ts';
import { NETWORK } from '../../support/network.ts';
import type { Seconds } from '../../../app/core/base/units.ts';
import { openBank, type Timbre } from '../ear-set/bank.ts';
import { counted, type Counted } from '../ear-set/counted.ts';
import { planLine, type LinePlan } from './phrases.ts';
import { type NoiseLevel, renderLineTake, TAKE_RATE } from './takes.ts';

const CACHE = fileURLToPath(new URL('../../../.cache/line-set', import.meta.url));

export interface LineFigures {
  readonly notes: number;
  /** Right notes accepted, of these the short ones, and wrong ones caught. */
  readonly accepted: Counted;
  readonly short: Counted;
  readonly caught: Counted;
  /** Heard less true, in milliseconds and cents. */
  readonly offsets: readonly number[];
  readonly bends: readonly number[];
  readonly unsure: number;
  /** Processor time over playing time. */
  readonly cost: number;
}

export interface LineSet {
  readonly timbres: readonly Timbre[];
  readonly levels: readonly NoiseLevel[];
  readonly seeds: readonly number[];
}

interface Heard {
  readonly plan: LinePlan;
  readonly index: number;
  readonly note: NoteHeard;
}

/** @throws Error when fluidsynth or its sound font is missing. */
export function lineFigures({ timbres, levels, seeds }: LineSet): LineFigures {
  const heard: Heard[] = [];
  let computing = 0;
  let playing = 0;
  for (const timbre of timbres) {
    const bank = openBank(timbre, CACHE);
    for (const level of levels) {
      for (const seed of seeds) {
        const plan = planLine(seed);
        const samples = renderLineTake(plan, bank, level, seed);
        const begun = process.cpuUsage();
        const { notes } = judgeLead(plan.written, { samples, start: 0 }, 35, NETWORK);
        const { user, system } = process.cpuUsage(begun);
        computing += (user + system) / 1e6;
        playing += samples.length / TAKE_RATE;
        heard.push(...notes.map((note, index) => ({ plan, index, note })));
      }
    }
  }
  return { ...figuresOf(heard), cost: computing / playing };
}

function figuresOf(heard: readonly Heard[]): Omit<LineFigures, 'cost'> {
  const truth = ({ plan, index }: Heard) => plan.truth[index]!;
  const isBend = ({ plan, index }: Heard) => plan.written[index]!.notes[0]!.bend !== undefined;
  const wrong = heard.filter((h) => truth(h).wrong);
  const right = heard.filter((h) => !truth(h).wrong && !isBend(h));
  const short = right.filter(({ plan, index }) => isShort(plan, index));
  const told = (of: readonly Heard[], pitch: NoteHeard['pitch']): number =>
    of.filter((h) => h.note.pitch === pitch).length;
  return {
    notes: heard.length,
    accepted: counted(told(right, 'right'), right.length),
    short: counted(told(short, 'right'), short.length),
    caught: counted(told(wrong, 'wrong'), wrong.length),
    offsets: heard.flatMap((h) =>
      h.note.offset === undefined ? [] : [h.note.offset - truth(h).offset],
    ),
    bends: heard.flatMap((h) =>
      h.note.bend === undefined ? [] : [h.note.bend - truth(h).bendError!],
    ),
    unsure: told(heard, 'unsure') / heard.length,
  };
}

const SHORT: Seconds = 0.16;

const isShort = ({ written }: LinePlan, index: number): boolean =>
  written[index]!.until - written[index]!.seconds < SHORT;

/** Never used for tuning: other lines, and a guitar (jazz) and a noise level no threshold has met. */
export const HELD_OUT_LINES: LineSet = {
  timbres: ['nylon', 'acoustic', 'electric', 'clean'],
  levels: ['quiet', 'room', 'noisy'],
  seeds: [5001, 5002, 5003, 5004],
};
