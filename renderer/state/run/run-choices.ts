// What a run-through is set to: tempo or a ladder of its own, which bars the band leaves out, which are slow; the set list.
import type { HoldOn } from '../../../app/core/band/hold-on.ts';
import type { LadderRules } from '../../../app/core/ladder/model.ts';
import { tempoAt } from '../../../app/core/ladder/suggest.ts';
import type { Seconds } from '../../../app/core/base/units.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import type { Memory } from '../../page/memory.ts';

export interface RunChoices {
  /** Of the chart's own tempo. */
  readonly percent: number;
  /** Above `percent`: the song is climbed in steps up to there. */
  readonly top: number;
  readonly step: number;
  /** The band is silent for `without` bars after every `with` bars; 0 is never. */
  readonly with: number;
  readonly without: number;
  readonly slow: number;
  /** The band is silent in these bars (from 1). */
  readonly silentBars: readonly number[];
  /** These bars (from 1) are played at `slow` percent of the tempo. */
  readonly slowBars: readonly number[];
}

export const USUAL_CHOICES: RunChoices = {
  percent: 80,
  top: 80,
  step: 5,
  with: 2,
  without: 0,
  slow: 80,
  silentBars: [],
  slowBars: [],
};

/** Chosen bars come before turns: they are where the player holds the beat alone. */
export function holdOnOf(choices: RunChoices): HoldOn | undefined {
  const silent = fromZero(choices.silentBars);
  if (silent.length > 0) return { kind: 'bars', silent };
  return choices.without > 0
    ? { kind: 'turns', with: choices.with, without: choices.without }
    : undefined;
}

/** Bars of the unit (from 0) that are played slowly. */
export const slowBarsOf = (choices: RunChoices): readonly number[] => fromZero(choices.slowBars);

const fromZero = (bars: readonly number[]): readonly number[] => bars.map((bar) => bar - 1);

/** Bars that the part no longer has are chosen no more. */
export function withinBars(choices: RunChoices, last: number): RunChoices {
  const there = (bars: readonly number[]): readonly number[] => bars.filter((bar) => bar <= last);
  return {
    ...choices,
    silentBars: there(choices.silentBars),
    slowBars: there(choices.slowBars),
  };
}

/** Once through at one tempo, or a rung higher after every clean pass. */
export function rulesOf(unit: Unit, { percent, top, step }: RunChoices): LadderRules {
  const start = tempoAt(unit, percent);
  const target = Math.max(start, tempoAt(unit, top));
  const climbs = target > start;
  return {
    start,
    target,
    beat: unit.tempo.beat,
    step: { kind: 'bpm', by: Math.max(1, Math.round((unit.tempo.bpm * step) / 100)) },
    route: climbs ? 'straight' : 'at-target',
    above: 0,
    cleanToClimb: 1,
    missedToDrop: 3,
    drop: 'one-rung',
    longestOnRung: 0,
    maxPasses: climbs ? 0 : 1,
    maxMinutes: 0,
    restBars: 1,
  };
}

/** A song of the set list and how long the pause after it is; 0 waits for a key. */
export interface SetSong {
  readonly chart: string;
  readonly pause: Seconds;
}

const SET_LIST = 'rungwise.set-list';
const MOST_SONGS = 60;

/** The last set list of this machine; empty where none can be read. */
export function rememberedSet(memory: Memory): readonly SetSong[] {
  try {
    const kept: unknown = JSON.parse(memory.getItem(SET_LIST) ?? '[]');
    return Array.isArray(kept) ? kept.filter(isSong).slice(0, MOST_SONGS) : [];
  } catch {
    return [];
  }
}

/** @throws DOMException where the browser's memory is full */
export const rememberSet = (memory: Memory, songs: readonly SetSong[]): void =>
  memory.setItem(SET_LIST, JSON.stringify(songs));

const isSong = (thing: unknown): thing is SetSong =>
  typeof thing === 'object' &&
  thing !== null &&
  'chart' in thing &&
  typeof thing.chart === 'string' &&
  'pause' in thing &&
  typeof thing.pause === 'number' &&
  thing.pause >= 0 &&
  thing.pause <= 600;

/** How one song was last played through: its choices, and who was muted. */
export interface RememberedRun {
  readonly choices: RunChoices;
  readonly muted: readonly string[];
}

const LAST_RUNS = 'rungwise.run-choices';
const MOST_RUNS = 200;

const LISTS = ['silentBars', 'slowBars'] as const;
const MOST_BARS = 9999;

/** Bounds of every number; what lies outside is left out and its usual value stands in. */
const BOUNDS: Readonly<
  Record<Exclude<keyof RunChoices, (typeof LISTS)[number]>, readonly [least: number, most: number]>
> = {
  percent: [30, 130],
  top: [30, 150],
  step: [1, 30],
  with: [1, 16],
  without: [0, 16],
  slow: [30, 100],
};

/** Of the part of a chart with this key; undefined where it was never set up. */
export function rememberedRun(memory: Memory, key: string): RememberedRun | undefined {
  const kept = runsIn(memory).get(key);
  if (typeof kept !== 'object' || kept === null) return undefined;
  const { choices, muted } = kept as { choices?: unknown; muted?: unknown };
  const given = new Map(Object.entries(choices ?? {}));
  const numbers = Object.entries(BOUNDS).flatMap(([name, bounds]) => {
    const value = given.get(name);
    return lies(value, bounds) ? [[name, value] as const] : [];
  });
  const lists = LISTS.flatMap((name) => {
    const bars = given.get(name);
    const fits = Array.isArray(bars) && bars.every((bar) => lies(bar, [1, MOST_BARS]));
    return fits ? [[name, bars] as const] : [];
  });
  const names = Array.isArray(muted) ? muted : ['chords'];
  return {
    choices: { ...USUAL_CHOICES, ...Object.fromEntries([...numbers, ...lists]) },
    muted: names.filter((name) => typeof name === 'string'),
  };
}

const lies = (value: unknown, [least, most]: readonly [number, number]): value is number =>
  typeof value === 'number' && value >= least && value <= most;

/** The newest stand last; the oldest are forgotten. */
export function rememberRun(memory: Memory, key: string, run: RememberedRun): void {
  const runs = runsIn(memory);
  runs.delete(key);
  const kept = [...runs, [key, run]].slice(-MOST_RUNS);
  memory.setItem(LAST_RUNS, JSON.stringify(kept));
}

function runsIn(memory: Memory): Map<string, unknown> {
  try {
    const kept: unknown = JSON.parse(memory.getItem(LAST_RUNS) ?? '[]');
    const pairs = Array.isArray(kept) ? kept : [];
    return new Map(pairs.filter((pair) => Array.isArray(pair) && typeof pair[0] === 'string'));
  } catch {
    return new Map();
  }
}
