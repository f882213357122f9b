// What the hands do in a section: its shapes once each, where they stand, and its changes, hardest first.
import type { ChartBody } from '../../../../app/core/model/chart.ts';
import type { Unit } from '../../../../app/core/model/unit.ts';
import { resolveUnit } from '../../../../app/core/units/resolve.ts';
import type { Path, PathStep } from '../../../../app/core/fretboard/path.ts';
import { relationOf } from '../../../../app/core/fretboard/relation.ts';
import { type Barres, shapesHeld } from '../../../../app/core/units/hands/fewest-barres.ts';
import { handsFor, type HardChange } from '../../../../app/core/units/hands/hardest.ts';
import type { Problem } from '../../../../app/core/base/result.ts';
import type { ChordPlace } from './pins.ts';

export type ShapeStep = Extract<PathStep, { kind: 'shape' }>;

export interface ShapeUse {
  /** The symbol and which of its shapes this is: it stays while shapes are exchanged. */
  readonly key: string;
  readonly step: ShapeStep;
  /** Where the step stands in the path of the section. */
  readonly index: number;
  readonly places: readonly ChordPlace[];
  /** Held so because the player wants the fewest barres. */
  readonly eased: boolean;
  /** How it follows from the shape listed before it: "the same shape, two frets up". */
  readonly relation?: string;
}

export interface SectionHands {
  readonly unit: Unit;
  readonly path: Path;
  /** Every different chord with its shape, in playing order. */
  readonly uses: readonly ShapeUse[];
  readonly problems: readonly Problem[];
  readonly hardest: readonly HardChange[];
}

/** At the section's own tempo. Undefined for a section that has no bars to play. */
export function sectionHands(
  chart: ChartBody,
  section: string,
  barres: Barres = 'taught',
): SectionHands | undefined {
  const unit = resolveUnit(chart, { kind: 'section', section });
  if (!unit.ok) return undefined;
  const held = shapesHeld(chart, barres);
  const eased = held.slice(chart.shapes.length).map((shape) => shape.symbol);
  const { path, hardest } = handsFor(unit.value, unit.value.tempo.bpm, held);
  const uses = new Map<string, { step: ShapeStep; index: number; places: ChordPlace[] }>();
  for (const [index, step] of path.steps.entries()) {
    if (step.kind !== 'shape') continue;
    const key = `${step.chord.symbol} ${step.shape.frets.join()}`;
    const use = uses.get(key) ?? { step, index, places: [] };
    uses.set(key, use);
    const place = placeOf(unit.value, step);
    if (place && !use.places.some((p) => isSame(p, place))) use.places.push(place);
  }
  return {
    unit: unit.value,
    path,
    uses: [...uses.values()].map((use, i, all) => {
      const { symbol } = use.step.chord;
      const nth = all.slice(0, i).filter((other) => other.step.chord.symbol === symbol).length;
      const before = all[i - 1]?.step.shape;
      const relation = before && relationOf(before, use.step.shape);
      return {
        ...use,
        key: `${symbol} ${nth}`,
        eased: eased.includes(use.step.step.chord.symbol),
        ...(relation && { relation }),
      };
    }),
    problems: distinct(path.steps.flatMap((s) => (s.kind === 'problem' ? [s.problem] : []))),
    hardest,
  };
}

function placeOf(unit: Unit, { step }: ShapeStep): ChordPlace | undefined {
  const bar = unit.bars[step.bar];
  return bar && step.inBar && { section: bar.section, bar: bar.bar, at: step.inBar };
}

const isSame = (a: ChordPlace, b: ChordPlace): boolean =>
  a.bar === b.bar && a.at.n === b.at.n && a.at.d === b.at.d;

const distinct = (problems: readonly Problem[]): Problem[] => [
  ...new Map(problems.map((problem) => [problem.message, problem])).values(),
];
