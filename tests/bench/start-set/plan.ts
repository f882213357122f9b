// What is played in one take whose start is to be found: the chart's strokes with a player's faults, and what else sounds.
import { unwrap } from '../../../app/core/base/result.ts';
import type { Bpm, Seconds } from '../../../app/core/base/units.ts';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { expectationOf } from '../../../app/core/ear/expectation.ts';
import type { Expectation } from '../../../app/core/ear/model.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { RECORDED_LAP } from '../../../app/core/timeline/bare-lap.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import { listUnits } from '../../../app/core/units/resolve.ts';
import { unitGrips, type Voicing } from '../../../app/core/units/hands/hands.ts';
import {
  drawDetune,
  type Level,
  LEVELS,
  type Stroke,
  strum,
  type TakePlan,
  withLifts,
} from '../ear-set/plan.ts';
import { dice, type Dice } from '../ear-set/random.ts';
import { drawChart, type Form, type Part } from './charts.ts';

/** What makes a start hard to find; a take has one of them at most. */
const TROUBLES = [
  'none',
  /** Every second change or so is wrong, silent, muted or held. */
  'much wrong',
  'first chord wrong',
  'first change left out',
  /** A pickup that the chart has is not played; without a pickup the first bar's first stroke is missing. */
  'first stroke left out',
  'strokes left out',
  /** Strokes nobody wrote, and some that are missing. */
  'own strum',
  /** Up to 3 % faster or slower than the click. */
  'drift',
  /** Chords of the chart, tried before it begins. */
  'noodling',
  'tuning',
  'talk',
  'knocks',
  /** The first bar or two, then a break, then all of it. */
  'false start',
  /** On beyond the end, from the first bar again. */
  'went on',
  /** Recording began after the pass did, or ended before. */
  'cut off',
] as const;
export type Trouble = (typeof TROUBLES)[number];

/** A stretch of noise beside the guitar. */
export interface Beside {
  readonly kind: 'talk' | 'knock';
  readonly at: Seconds;
  readonly length: Seconds;
}

export interface StartPlan {
  readonly id: string;
  readonly part: Part;
  readonly trouble: Trouble;
  readonly form: Form;
  /** The chart as it is typed. */
  readonly text: string;
  readonly chart: Chart;
  readonly unit: Unit;
  /** What the renderer of the ear's set takes. */
  readonly sound: TakePlan;
  readonly beside: readonly Beside[];
  /** Where the unit begins in the recording; may lie before it. */
  readonly start: Seconds;
  /** Seconds of the rendered sound that the recording lacks at its beginning. */
  readonly cutBefore: Seconds;
}

const GUITARS: Readonly<Record<Part, readonly TakePlan['timbre'][]>> = {
  train: ['jazz', 'csound-steel', 'csound-clean', 'opl-muted'],
  choose: ['fluid-steel', 'fluid-nylon', 'chip'],
  report: ['clean', 'driven', 'acoustic', 'electric', 'nylon'],
};
const SEEDS: Readonly<Record<Part, number>> = { train: 110_000, choose: 120_000, report: 130_000 };
/** The longest pass that is drawn. */
const LONGEST: Seconds = 32;

/** The same take for the same part and index. */
export function planStart(part: Part, index: number): StartPlan {
  const seed = SEEDS[part] + index;
  const d = dice(seed);
  const { form, text } = drawChart(d, part);
  const chart: Chart = { id: 'take', ...unwrap(parseChart(text)) };
  const unit = listUnits(chart).find(({ name }) => name === 'Take')!;
  const bpm = drawTempo(d, unit);
  const trouble = TROUBLES[index % TROUBLES.length]!;
  const level = d.pick(LEVELS[part === 'report' ? 'reporting' : 'choosing']);
  return played(d, { part, index, seed, form, text, chart, unit, bpm, trouble, level });
}

/** What is settled before anything is played. */
interface Setting {
  readonly part: Part;
  readonly index: number;
  readonly seed: number;
  readonly form: Form;
  readonly text: string;
  readonly chart: Chart;
  readonly unit: Unit;
  readonly bpm: Bpm;
  readonly trouble: Trouble;
  readonly level: Level;
}

function drawTempo(d: Dice, unit: Unit): Bpm {
  const slowest = (buildLap(unit, 100, RECORDED_LAP).end / LONGEST) * 100;
  return Math.round(d.between(Math.max(55, slowest), Math.max(170, slowest + 10)));
}

interface Sounding {
  readonly at: Seconds;
  readonly direction: 'down' | 'up';
  readonly voicing: Voicing;
  readonly dead?: boolean;
}

function played(d: Dice, setting: Setting): StartPlan {
  const { part, index, seed, form, text, chart, unit, bpm, trouble, level } = setting;
  const lap = buildLap(unit, bpm, RECORDED_LAP);
  const { voicings } = unitGrips(unit, chart.shapes);
  const bar: Seconds = lap.bars[1]?.seconds ?? 2;
  const lead =
    d.between(0.1, 2) + (['noodling', 'tuning', 'talk', 'knocks'].includes(trouble) ? 4 : 0);
  const again = trouble === 'false start' ? bar + d.between(1, 2.5) : 0;
  // Some count in aloud or by a click; others begin.
  const counted = d.chance(0.7) ? lap.unitStart : 0;
  const start = lead + again + counted;
  const expected = expectationOf(lap, unit, start - lap.unitStart, { voicings });
  const pass = strokesOf(d, expected, voicings, setting);
  const end = start + lap.unitEnd - lap.unitStart;
  const extra = d.between(0.3, 2.5);
  const before: readonly Sounding[] =
    trouble === 'false start'
      ? moved(
          strokesOf(d, expected, voicings, { ...setting, trouble: 'none' }),
          -(bar + d.between(1, 2)),
        ).filter((s) => s.at > 0.05 && s.at < start - 1)
      : beforeIt(d, trouble, start - counted, voicings);
  const after =
    trouble === 'went on'
      ? moved(pass, end - start).slice(0, Math.ceil(pass.length / d.pick([1, 2, 4])))
      : [];
  const strokes = [...before, ...pass, ...after].toSorted((a, b) => a.at - b.at);
  const length = Math.max(end, (strokes.at(-1)?.at ?? 0) + 1) + extra;
  const cut = trouble === 'cut off' ? d.between(1, 4) * (60 / bpm) : 0;
  const cutBefore = cut > 0 && d.chance(0.5) ? start + cut : 0;
  const sound: TakePlan = {
    ...{ id: `${part}-${String(index).padStart(3, '0')}`, seed, level, bpm },
    timbre: d.pick(GUITARS[part]),
    detune: drawDetune(d),
    shapesKnown: true,
    player: 'uneven',
    changes: [],
    strokes: withLifts(strokes.map((s) => toStroke(d, s, bpm))),
    dueStrokes: [],
    clicks: expected.clicks.filter((click) => click.at > 0 && click.at >= start - counted - 1e-6),
    squeaks: d.chance(0.3) ? [start + 1, start + 3] : [],
    start,
    length: cut > 0 && cutBefore === 0 ? end - cut : length,
  };
  return {
    ...{ id: sound.id, part, trouble, form, text, chart, unit, sound, cutBefore },
    beside: besideOf(d, trouble, start - counted),
    start: start - cutBefore,
  };
}

const moved = (all: readonly Sounding[], by: Seconds): Sounding[] =>
  all.map((s) => ({ ...s, at: s.at + by }));

function toStroke(d: Dice, { at, direction, voicing, dead }: Sounding, bpm: Bpm): Stroke {
  const strings = voicing.map((m) => (m !== null && m >= 40 && m <= 84 ? m : null));
  const shape = { symbol: '', root: 0, quality: 'major' as const, strings };
  const plucks = strum(d, shape, direction, at, bpm, dead ?? false);
  return { due: at, at, direction, plucks, lifted: [] };
}

/** The pass itself, as it is really played. */
function strokesOf(
  d: Dice,
  { changes, strokes, beat }: Expectation,
  voicings: readonly Voicing[],
  { trouble }: Setting,
): Sounding[] {
  const pace = trouble === 'drift' ? 1 + d.between(-0.03, 0.03) : 1;
  const due =
    strokes.length > 0
      ? strokes
      : changes.map((c) => ({ at: c.due, direction: 'down' as const, muted: false }));
  const origin = due[0]!.at;
  const missing = trouble === 'strokes left out' ? 0.2 : trouble === 'own strum' ? 0.3 : 0.01;
  return changes.flatMap((change, i) => {
    const own = changes[i]!.to?.strings ?? voicings[i]!;
    const deed = deedOf(d, trouble, i);
    const voicing =
      deed === 'other'
        ? otherThan(d, voicings, i)
        : deed === 'held'
          ? voicings[Math.max(0, i - 1)]!
          : own;
    const late = lateness(d, beat);
    return due
      .filter((s) => s.at >= change.due - 1e-6 && s.at < change.until - 1e-6)
      .flatMap((s, k): Sounding[] => {
        const first = i === 0 && k === 0;
        if (deed === 'silent' || (first && trouble === 'first stroke left out')) return [];
        if (!first && d.chance(k === 0 ? missing / 3 : missing)) return [];
        const at = origin + pace * (s.at - origin) + (k === 0 ? late : d.normal(0, 0.01));
        const stroke = { at, direction: s.direction, voicing, dead: s.muted || deed === 'muted' };
        const more =
          trouble === 'own strum' && d.chance(0.25) && s.at + beat / 2 < change.until - 0.1;
        return more ? [stroke, { ...stroke, at: at + beat / 2, direction: 'up' }] : [stroke];
      })
      .filter((s, k, all) => k === 0 || s.at > all[k - 1]!.at + 0.07);
  });
}

type Deed = 'right' | 'other' | 'held' | 'muted' | 'silent';

function deedOf(d: Dice, trouble: Trouble, i: number): Deed {
  if (trouble === 'first chord wrong' && i === 0) return 'other';
  if (trouble === 'first change left out' && i === 0) return 'silent';
  const wrong = trouble === 'much wrong' ? 0.45 : 0.04;
  return d.chance(wrong) ? d.pick(['other', 'held', 'held', 'muted', 'silent'] as const) : 'right';
}

function otherThan(d: Dice, voicings: readonly Voicing[], i: number): Voicing {
  const others = voicings.filter((v) => v.join() !== voicings[i]!.join());
  if (others.length > 0 && d.chance(0.6)) return d.pick(others);
  return voicings[i]!.map((m) => (m === null ? null : m + d.pick([1, 2, 3])));
}

/** Most play in time (SD 12 ms); one change in ten is late by up to 180 ms. */
function lateness(d: Dice, beat: Seconds): Seconds {
  return d.chance(0.1) ? d.between(0.04, Math.min(0.18, beat / 3)) : d.normal(0, 0.012);
}

/** The six strings of standard tuning. */
const OPEN = [40, 45, 50, 55, 59, 64] as const;

/** What the guitar plays before the pass, and before its count-in. */
function beforeIt(
  d: Dice,
  trouble: Trouble,
  until: Seconds,
  voicings: readonly Voicing[],
): Sounding[] {
  const sounds: Sounding[] = [];
  if (trouble === 'noodling') {
    for (let at = 0.2; at < until - 0.8; at += d.between(0.25, 0.9)) {
      sounds.push({ at, direction: d.pick(['down', 'up']), voicing: d.pick(voicings) });
    }
  }
  if (trouble === 'tuning') {
    let string = 0;
    for (let at = 0.2; at < until - 0.8; at += d.between(0.5, 1.1)) {
      const midi = OPEN[string % 6]!;
      sounds.push({ at, direction: 'down', voicing: OPEN.map((m) => (m === midi ? m : null)) });
      if (d.chance(0.6)) string++;
    }
  }
  return sounds;
}

function besideOf(d: Dice, trouble: Trouble, until: Seconds): Beside[] {
  const all: Beside[] = [];
  if (trouble === 'talk') {
    for (let at = 0.1; at < until - 0.4; at += d.between(0.8, 1.6)) {
      all.push({ kind: 'talk', at, length: d.between(0.4, 1.2) });
    }
  }
  if (trouble === 'knocks') {
    for (let at = 0.2; at < until - 0.2; at += d.between(0.3, 1.5)) {
      all.push({ kind: 'knock', at, length: 0.08 });
    }
  }
  return all;
}
