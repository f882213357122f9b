// The sequence of shapes with the least total cost through a row of chords, by dynamic programming.
import type { Tuning } from '../model/chart.ts';
import type { SoundingChord } from '../model/chord.ts';
import type { Problem } from '../base/result.ts';
import type { Seconds } from '../base/units.ts';
import { type Candidate, type CandidateSet, candidatesFor } from './candidates.ts';
import { changeOfHands } from './change.ts';
import { type ShapeOptions, USUAL_OPTIONS } from './search.ts';
import type { Shape } from './shape.ts';
import type { ChordStep } from './chord-step.ts';
import { PATH } from './weights.ts';

export interface Alternative {
  readonly shape: Shape;
  /** What the whole path would cost more with this shape here. */
  readonly extra: number;
}

export type PathStep =
  | {
      readonly kind: 'shape';
      readonly step: ChordStep;
      readonly chord: SoundingChord;
      readonly shape: Shape;
      /** Other shapes for this place, least extra cost first; also beside a pinned one. */
      readonly alternatives: readonly Alternative[];
    }
  | { readonly kind: 'silence'; readonly step: ChordStep }
  /** Nothing to hold here; the rest of the path goes on without it. */
  | { readonly kind: 'problem'; readonly step: ChordStep; readonly problem: Problem };

export interface Path {
  readonly steps: readonly PathStep[];
  /** Sum over the path; a comparison, not a measurement. */
  readonly cost: number;
}

/** Shapes tried for each chord, and alternatives shown. */
const SHAPES_TRIED = 8;
const ALTERNATIVES_SHOWN = 6;

/**
 * The easiest way through: each shape costs a share of its ease, each change its cost, counted more
 * where the music gives little time (see `PATH` in weights.ts). Pinned shapes are kept. A chord that
 * cannot be read or played becomes a problem step; it and N.C. part the path, since the hand has time
 * there. Work grows with the number of steps, not with the number of paths.
 */
export function bestPath(
  steps: readonly ChordStep[],
  tuning: Tuning,
  given: Partial<ShapeOptions> = {},
): Path {
  const options = { ...USUAL_OPTIONS, ...given };
  const edges = new ChangeCosts();
  const nodes = nodesOf(steps, tuning, options);
  const solved: PathStep[] = [];
  let cost = 0;
  for (const run of runsOf(nodes)) {
    if (run[0]!.kind !== 'choice') {
      solved.push(...run.map(plainStep));
      continue;
    }
    const best = solveRun(run as readonly Choice[], edges);
    solved.push(...best.steps);
    cost += best.cost;
  }
  return { steps: solved, cost };
}

type Node = Choice | Exclude<PathStep, { kind: 'shape' }>;

interface Choice extends CandidateSet {
  readonly kind: 'choice';
  readonly step: ChordStep;
}

const plainStep = (node: Node): PathStep => node as Exclude<PathStep, { kind: 'shape' }>;

function nodesOf(steps: readonly ChordStep[], tuning: Tuning, options: ShapeOptions): Node[] {
  const known = new Map<string, Node>();
  return steps.map((step) => {
    const key = `${step.chord.symbol} ${step.pin?.join() ?? ''}`;
    const node = known.get(key) ?? nodeOf(step, tuning, options);
    known.set(key, node);
    return { ...node, step };
  });
}

function nodeOf(step: ChordStep, tuning: Tuning, options: ShapeOptions): Node {
  if (step.chord.kind === 'unread') return { kind: 'problem', step, problem: step.chord.problem };
  if (step.chord.kind === 'silence') return { kind: 'silence', step };
  const { chord } = step;
  const set = candidatesFor(chord, step.pin, tuning, { ...options, most: SHAPES_TRIED });
  if (set.ok) return { kind: 'choice', step, ...set.value };
  return { kind: 'problem', step, problem: set.problems[0]! };
}

/** Neighbouring choices together; every other step by itself. */
function runsOf(nodes: readonly Node[]): Node[][] {
  const runs: Node[][] = [];
  for (const node of nodes) {
    const run = runs.at(-1);
    if (node.kind === 'choice' && run?.[0]?.kind === 'choice') run.push(node);
    else runs.push([node]);
  }
  return runs;
}

/** A change counts once when there is time enough, more when there is less. */
export function urgencyOf(gap: Seconds | undefined): number {
  if (gap === undefined || gap >= PATH.enoughTime) return 1;
  return Math.min(PATH.mostUrgent, PATH.enoughTime / gap);
}

/** Costs of changing between two sets of candidates, computed once per pair of sets. */
class ChangeCosts {
  readonly #known = new Map<unknown, Map<unknown, readonly (readonly number[])[]>>();

  between(from: readonly Candidate[], to: readonly Candidate[]): readonly (readonly number[])[] {
    const row = this.#known.get(from) ?? new Map<unknown, readonly (readonly number[])[]>();
    this.#known.set(from, row);
    const costs = row.get(to) ?? from.map((a) => to.map((b) => changeOfHands(a.hand, b.hand).cost));
    row.set(to, costs);
    return costs;
  }
}

/** Least cost of everything up to and including each candidate of each step. */
function forward(run: readonly Choice[], edges: ChangeCosts): number[][] {
  const costs: number[][] = [];
  run.forEach((node, i) => {
    const earlier = run[i - 1];
    const before = costs[i - 1];
    if (!earlier || !before) {
      costs.push(node.candidates.map((c) => c.hold));
      return;
    }
    const change = edges.between(earlier.candidates, node.candidates);
    const urgency = urgencyOf(node.step.gap);
    costs.push(
      node.candidates.map(
        (c, s) => c.hold + least(before, earlier.open, (p) => change[p]![s]! * urgency),
      ),
    );
  });
  return costs;
}

/** Least cost of everything after each candidate of each step. */
function backward(run: readonly Choice[], edges: ChangeCosts): number[][] {
  const costs: number[][] = run.map((node) => node.candidates.map(() => 0));
  for (let i = run.length - 2; i >= 0; i--) {
    const node = run[i]!;
    const later = run[i + 1]!;
    const change = edges.between(node.candidates, later.candidates);
    const urgency = urgencyOf(later.step.gap);
    const rest = later.candidates.map((c, n) => c.hold + costs[i + 1]![n]!);
    costs[i] = node.candidates.map((_, s) =>
      least(rest, later.open, (n) => change[s]![n]! * urgency),
    );
  }
  return costs;
}

/** Least of the open costs, each with what the step to it adds. */
function least(
  costs: readonly number[],
  open: readonly boolean[],
  added: (index: number) => number = () => 0,
): number {
  let best = Infinity;
  for (let i = 0; i < costs.length; i++) {
    const cost = open[i] ? costs[i]! + added(i) : Infinity;
    if (cost < best) best = cost;
  }
  return best;
}

function solveRun(run: readonly Choice[], edges: ChangeCosts): Path {
  const before = forward(run, edges);
  const after = backward(run, edges);
  const through = run.map((node, i) =>
    node.candidates.map((_, s) => before[i]![s]! + after[i]![s]!),
  );
  const cost = least(through[0]!, run[0]!.open);
  const steps: PathStep[] = [];
  let last: number | undefined;
  run.forEach((node, i) => {
    last = chosenAt(run, i, last, before, after, edges);
    steps.push(shapeStep(node, last, through[i]!, cost));
  });
  return { steps, cost };
}

/** The candidate on the best path, given the one chosen just before it. */
function chosenAt(
  run: readonly Choice[],
  i: number,
  last: number | undefined,
  before: readonly (readonly number[])[],
  after: readonly (readonly number[])[],
  edges: ChangeCosts,
): number {
  const node = run[i]!;
  const earlier = run[i - 1];
  const costs = node.candidates.map((c, s) => {
    if (!earlier || last === undefined) return before[i]![s]! + after[i]![s]!;
    const change = edges.between(earlier.candidates, node.candidates)[last]![s]!;
    return c.hold + change * urgencyOf(node.step.gap) + after[i]![s]!;
  });
  return costs.indexOf(least(costs, node.open));
}

/** Alternatives are other frets; of several fingerings of the same frets the cheapest is shown. */
function shapeStep(
  node: Choice,
  chosen: number,
  through: readonly number[],
  cost: number,
): PathStep {
  const shape = node.candidates[chosen]!.shape;
  const seen = new Set([shape.frets.join()]);
  const alternatives = node.candidates
    .map((c, s) => ({ shape: c.shape, extra: Math.max(0, through[s]! - cost) }))
    .sort((a, b) => a.extra - b.extra)
    .filter((other) => !seen.has(other.shape.frets.join()) && seen.add(other.shape.frets.join()))
    .slice(0, ALTERNATIVES_SHOWN);
  return { kind: 'shape', step: node.step, chord: node.chord, shape, alternatives };
}
