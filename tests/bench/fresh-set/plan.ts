// What is played in one take of the fresh set, drawn from a seed: a chart as the program reads it, exact strokes, exact
// truth; nothing sounds yet.
import { unwrap } from '../../../app/core/base/result.ts';
import type { Midi } from '../../../app/core/base/units.ts';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { expectationOf } from '../../../app/core/ear/expectation.ts';
import type { Expectation, ExpectedChange } from '../../../app/core/ear/model.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { RECORDED_LAP } from '../../../app/core/timeline/bare-lap.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import { unitGrips, type Voicing } from '../../../app/core/units/hands/hands.ts';
import { listUnits } from '../../../app/core/units/resolve.ts';
import { type Deed, drawDetune, type Player } from '../ear-set/plan.ts';
import { dice, type Dice } from '../ear-set/random.ts';
import { cleanError, timingError } from '../ear-set/timing.ts';
import {
  chartText,
  chordOfKey,
  drawChords,
  drawSetting,
  type Named,
  type Setting,
} from './charts.ts';
import { drawEveryday, drawProgression } from './fresh-d/charts.ts';
import { drawHand, strokesOf } from './hands.ts';
import type { Room } from './rooms.ts';
import type { Done, FreshPlan, Hand, Lean, Part, TrueChange } from './model.ts';

const SEEDS: Readonly<Record<Part, number>> = {
  'fresh-a': 310_000,
  choose: 530_000,
  'fresh-b': 420_000,
  'fresh-c': 640_000,
  'fresh-d': 750_000,
};
/** Share of the changes that a player spoils who spoils some. */
const SPOILT: Readonly<Record<Lean, number>> = {
  ...{ usual: 0.55, lone: 0.55, quiet: 0.55, extra: 0.55, fast: 0.55 },
  everyday: 0.62,
};
/** So many times as often as usual. */
const MORE: Readonly<Record<Lean, Partial<Record<Deed, number>>>> = {
  usual: {},
  lone: { 'tone-lost': 6, 'half-pressed': 4, 'two-lost': 2 },
  quiet: { 'tone-lost': 3, 'half-pressed': 2 },
  extra: { extra: 8, colour: 3, muted: 2 },
  fast: {},
  everyday: {
    ...{ held: 2.1, swap: 2.1, other: 2, muted: 1.7, silent: 1.7 },
    ...{ colour: 1.3, extra: 1.4, 'no-seventh': 1.5 },
  },
};

export interface Cell {
  readonly part: Part;
  readonly index: number;
  readonly timbre: string;
  readonly level: Room;
  readonly player: Player;
  readonly lean: Lean;
  /** Do its peers hear it, too? */
  readonly beside: boolean;
}

const idOf = ({ part, index }: Cell): string => `${part}-${String(index).padStart(3, '0')}`;

/** The same take for the same cell. */
export function planTake(cell: Cell): FreshPlan {
  const seed = SEEDS[cell.part] + cell.index;
  const d = dice(seed);
  for (;;) {
    const plan = tryTake(d, cell, seed);
    if (plan) return plan;
  }
}

/** Null where the program has no shape for one of the chords in this tuning. */
function tryTake(d: Dice, cell: Cell, seed: number): FreshPlan | null {
  const everyday = cell.lean === 'everyday';
  const setting = everyday ? drawEveryday(d) : drawSetting(d, cell.lean);
  const chords = everyday ? drawProgression(d, setting) : drawChords(d, setting);
  const text = chartText(setting, chords);
  const { unit, chart } = unitOf(text);
  const { voicings } = unitGrips(unit, chart.shapes);
  if (voicings.some((voicing) => voicing.filter((m) => m !== null).length < 3)) return null;
  const lap = buildLap(unit, setting.bpm, RECORDED_LAP);
  const lead = d.between(0.3, 1.2);
  const known = expectationOf(lap, unit, lead, { voicings });
  const hand = drawHand(d, setting, cell.player, cell.lean);
  const grip = gripper(setting);
  const deeds = drawDeeds(d, { ...{ known, chords, voicings, hand, grip }, ...cell });
  const changes = timesOf(d, known, deeds, cell.player);
  const sounding = strokesOf(d, { known, hand, changes, deeds });
  const shapesKnown = d.chance(0.9);
  return {
    ...cell,
    ...{ id: idOf(cell), seed, hand, setting, text },
    ...{ shapesKnown, detune: drawDetune(d), beat: known.beat, changes, sounding },
    expectation: shapesKnown ? known : expectationOf(lap, unit, lead, { voicings: null }),
    length: (known.changes.at(-1)?.until ?? 0) + 1,
  };
}

function unitOf(text: string): { readonly unit: Unit; readonly chart: Chart } {
  const chart: Chart = { id: 'take', ...unwrap(parseChart(text)) };
  return { chart, unit: listUnits(chart).find(({ name }) => name === 'Take')! };
}

/** How a chord of the chart is held, whatever stands beside it. */
type Gripper = (chord: Named) => Voicing;

function gripper(setting: Setting): Gripper {
  const known = new Map<string, Voicing>();
  return (chord) => {
    const text = chartText({ ...setting, each: 1 }, [chord]);
    const { unit, chart } = unitOf(text);
    const voicing = known.get(text) ?? unitGrips(unit, chart.shapes).voicings[0] ?? [];
    known.set(text, voicing);
    return voicing;
  };
}

interface Known {
  readonly known: Expectation;
  readonly chords: readonly Named[];
  readonly voicings: readonly Voicing[];
  readonly player: Player;
  readonly lean: Lean;
  readonly hand: Hand;
  readonly grip: Gripper;
}

function drawDeeds(d: Dice, all: Known): Done[] {
  const done: Done[] = [];
  all.known.changes.forEach((change, i) => {
    const own = { deed: 'right' as const, held: all.voicings[i]!, dead: [], weak: [] };
    const spoils = all.player === 'spoilt' && d.chance(SPOILT[all.lean]);
    done.push(spoils ? (spoilt(d, all, change, done[i - 1]?.held) ?? own) : own);
  });
  return done;
}

/** What can be spoilt here, drawn by weight; undefined where it turned out to sound the same. */
function spoilt(
  d: Dice,
  { chords, voicings, grip, hand, lean }: Known,
  change: ExpectedChange,
  before: Voicing | undefined,
): Done | undefined {
  const i = change.change;
  const chord = chords[i]!;
  const { root, quality } = chord;
  const own = voicings[i]!;
  const lone = loneStrings(own);
  const fretted = lone.filter((string) => own[string] !== change.to?.open?.[string]);
  const beside = openBeside(own, change.to?.open ?? []);
  const colours = COLOURS[quality];
  const swapped = SWAPPED[quality];
  const bare = BARE[quality];
  const other = before && !sameTones(before, own);
  const room = change.until - change.due > 0.9 && !hand.broken;
  const usual: readonly (readonly [Deed, number])[] = [
    ['held', other ? 2 : 0],
    ['held-then-right', other && room ? 0.7 : 0],
    ['swap', swapped === undefined ? 0 : 1.8],
    ['no-seventh', bare === undefined ? 0 : 3.5],
    ['other', 1.3],
    ['muted', 1.5],
    ['tone-lost', lone.length > 0 ? 6 : 0],
    ['two-lost', lone.length > 0 ? 1.5 : 0],
    ['half-pressed', fretted.length > 0 ? 4 : 0],
    ['colour', colours === undefined ? 0 : 5],
    ['extra', beside.length > 0 ? 3 : 0],
    ['silent', change.struck ? 1.5 : 0],
  ];
  const more = MORE[lean];
  const deed = d.weighted(usual.map(([of, weight]) => [of, weight * (more[of] ?? 1)] as const));
  const plain = { deed, held: own, dead: [], weak: [] };
  const grips = (to: Quality): Done | undefined =>
    ifOther(own, { ...plain, held: grip({ ...chord, quality: to }) });
  switch (deed) {
    case 'held':
    case 'held-then-right':
      return { ...plain, held: before! };
    case 'swap':
      return grips(swapped!);
    case 'no-seventh':
      return grips(bare!);
    case 'colour':
      return grips(d.pick(colours!));
    case 'other':
      return ifOther(own, { ...plain, held: grip(chordOfKey(d, root, chords[i])) });
    case 'tone-lost':
      return { ...plain, dead: [d.pick(lone)] };
    case 'two-lost':
      return { ...plain, dead: twoOf(d, lone, own) };
    case 'half-pressed':
      return { ...plain, weak: [d.pick(fretted)] };
    case 'extra': {
      const string = d.pick(beside);
      const open = change.to!.open![string]!;
      return { ...plain, ringing: string, held: own.map((m, s) => (s === string ? open : m)) };
    }
    default:
      return plain;
  }
}

type Quality = Named['quality'];
const SWAPPED: Partial<Record<Quality, Quality>> = { '': 'm', m: '', '7': 'm7', m7: '7' };
const BARE: Partial<Record<Quality, Quality>> = { '7': '', m7: 'm', maj7: '' };
const COLOURS: Partial<Record<Quality, readonly Quality[]>> = {
  '': ['7', 'maj7', 'sus4', 'add9', '6'],
  m: ['m7', 'sus4', 'sus2'],
};

const tonesOf = (voicing: Voicing): string =>
  [...new Set(voicing.flatMap((m) => (m === null ? [] : [m % 12])))]
    .toSorted((a, b) => a - b)
    .join();
const sameTones = (a: Voicing, b: Voicing): boolean => tonesOf(a) === tonesOf(b);

const ifOther = (own: Voicing, done: Done): Done | undefined =>
  done.held.filter((m) => m !== null).length < 3 || sameTones(own, done.held) ? undefined : done;

/** Strings whose tone no other string has. */
const loneStrings = (voicing: Voicing): number[] =>
  voicing.flatMap((m, string) =>
    m !== null && voicing.filter((o) => o !== null && o % 12 === m % 12).length === 1
      ? [string]
      : [],
  );

/** Strings that should be silent and whose open tone the chord has not. */
const openBeside = (voicing: Voicing, open: readonly Midi[]): number[] =>
  voicing.flatMap((m, string) =>
    m === null &&
    open[string] !== undefined &&
    !tonesOf(voicing)
      .split(',')
      .includes(String(open[string] % 12))
      ? [string]
      : [],
  );

/** One that carries its tone alone, and another one. */
function twoOf(d: Dice, lone: readonly number[], voicing: Voicing): number[] {
  const first = d.pick(lone);
  const others = voicing.flatMap((m, string) => (m !== null && string !== first ? [string] : []));
  return [first, d.pick(others)];
}

/** When the first string of every change begins. */
function timesOf(
  d: Dice,
  { changes, strokes, beat }: Expectation,
  deeds: readonly Done[],
  player: Player,
): TrueChange[] {
  return changes.map((change, i) => {
    const { due, until } = change;
    const { deed, held, dead, weak, ringing = [] } = deeds[i]!;
    // Nobody hears a dead string whose very pitch another one sounds.
    const isHidden = (string: number): boolean =>
      dead.includes(string) &&
      held.some((m, other) => m === held[string] && other !== string && !dead.includes(other));
    const slips = [dead, weak, ringing].flat().filter((string) => !isHidden(string));
    const atFault = slips.map((string) => 6 - string);
    const next = strokes.find((s) => s.at > due + 1e-6 && s.at < until)?.at ?? until;
    const error = player === 'clean' ? cleanError(d, beat) : timingError(d, next - due, beat);
    const played = deed === 'silent' ? null : due + error;
    return { due, until, deed, played, atFault, to: { strings: change.to?.strings ?? [] } };
  });
}
