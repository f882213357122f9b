// The line ear's figures over a set of takes: what it accepts, what it catches, how far bends are off.
import { judgeLead } from '../../../app/core/ear/lead/judge-lead.ts';
import type { NoteHeard } from '../../../app/core/ear/lead/model.ts';
import { NETWORK } from '../../support/network.ts';
import type { Seconds } from '../../../app/core/base/units.ts';
import { counted, type Counted } from '../ear-set/counted.ts';
import { planLine, type LinePlan } from './plans.ts';
import { bankOf, GUITARS } from '../fresh-set/guitars.ts';
import { CACHE } from '../fresh-set/hear.ts';
import type { Guitar, Part } from '../fresh-set/model.ts';
import { type Room, ROOMS } from '../fresh-set/rooms.ts';
import { type LineTake, renderLineTake, TAKE_RATE } from './takes.ts';

export interface LineFigures {
  readonly notes: number;
  /** Right notes accepted, of these the short ones and those reached without a pick, and wrong ones caught. */
  readonly accepted: Counted;
  readonly short: Counted;
  readonly legato: Counted;
  readonly caught: Counted;
  /** Heard less true, in milliseconds and cents. */
  readonly offsets: readonly number[];
  readonly bends: readonly number[];
  readonly unsure: number;
  /** Processor time over playing time. */
  readonly cost: number;
  /** Every note told other than it was. */
  readonly faults: readonly string[];
}

interface Heard {
  readonly take: LineTake;
  readonly plan: LinePlan;
  readonly index: number;
  readonly note: NoteHeard;
}

/** @throws Error naming the Debian package of a sound that is missing. */
export function lineFigures(takes: readonly LineTake[]): LineFigures {
  const heard: Heard[] = [];
  let computing = 0;
  let playing = 0;
  for (const take of takes) {
    const plan = planLine(take.seed);
    const samples = renderLineTake(plan, take, CACHE);
    const begun = process.cpuUsage();
    const { notes } = judgeLead(plan.written, { samples, start: 0 }, 35, NETWORK);
    const { user, system } = process.cpuUsage(begun);
    computing += (user + system) / 1e6;
    playing += samples.length / TAKE_RATE;
    heard.push(...notes.map((note, index) => ({ take, plan, index, note })));
  }
  return { ...figuresOf(heard), cost: computing / playing, faults: heard.flatMap(faultOf) };
}

function figuresOf(heard: readonly Heard[]): Omit<LineFigures, 'cost' | 'faults'> {
  const truth = ({ plan, index }: Heard) => plan.truth[index]!;
  const isBend = ({ plan, index }: Heard) => plan.written[index]!.notes[0]!.bend !== undefined;
  const wrong = heard.filter((h) => truth(h).wrong);
  const right = heard.filter((h) => !truth(h).wrong && !isBend(h));
  const short = right.filter(({ plan, index }) => isShort(plan, index));
  const legato = right.filter(({ plan, index }) => reachOf(plan, index) !== 'picked');
  const told = (of: readonly Heard[], pitch: NoteHeard['pitch']): number =>
    of.filter((h) => h.note.pitch === pitch).length;
  return {
    notes: heard.length,
    accepted: counted(told(right, 'right'), right.length),
    short: counted(told(short, 'right'), short.length),
    legato: counted(told(legato, 'right'), legato.length),
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

const reachOf = ({ written }: LinePlan, index: number) => written[index]!.notes[0]!.reach;

function faultOf({ take, plan, index, note }: Heard): string[] {
  const { wrong, offset } = plan.truth[index]!;
  const moment = plan.written[index]!;
  if (moment.notes[0]!.bend || note.pitch === (wrong ? 'wrong' : 'right')) return [];
  const next = plan.written[index + 1];
  const lasts =
    next && next.seconds + plan.truth[index + 1]!.offset / 1000 - moment.seconds - offset / 1000;
  return [
    `line ${take.seed} in ${take.room}, note ${index + 1} (${reachOf(plan, index)}, ${wrong ? 'wrong' : 'right'}, ${offset.toFixed(0)} ms late, lasts ${(1000 * (lasts ?? 0)).toFixed(0)} ms): ${JSON.stringify(note)}`,
  ];
}

/** Paired strings sound an octave that nobody fretted, which a line's own octave forbids. */
const singleStrings = (part: Part): [string, Guitar][] =>
  Object.entries(GUITARS[part]).filter(([name, { pairs }]) => !pairs && name !== 'twelve');

/** Every guitar in every room plays lines of its own. */
function linesOf(part: Part, firstSeed: number, each: number): LineTake[] {
  const places = singleStrings(part).flatMap(([name, { drive }]) =>
    (Object.keys(ROOMS) as Room[]).map((room) => ({ name, room, drive })),
  );
  return Array.from({ length: each * places.length }, (_, i) => {
    const { name, room, drive } = places[i % places.length]!;
    return { seed: firstSeed + i, room, drive, bank: () => bankOf(part, name, CACHE) };
  });
}

/** Looked at while choosing; and once, after it. No family of guitars and no line is in both. */
export const validationLines = (): LineTake[] => linesOf('fresh-a', 71_000, 2);
export const freshLines = (): LineTake[] => linesOf('fresh-b', 82_000, 2);
