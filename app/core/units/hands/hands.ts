// The one way from a unit to the shapes that are held in it, and to what they sound.
import { type Neck, USUAL_NECK } from '../../fretboard/geometry.ts';
import { type Path, bestPath } from '../../fretboard/path.ts';
import type { Finger } from '../../base/units.ts';
import { fingersOf, type Shape } from '../../fretboard/shape.ts';
import type { ChartShape } from '../../model/chart.ts';
import type { Unit } from '../../model/unit.ts';
import { chordSteps } from './time-between.ts';

/** The neck a unit is played on: the usual one with the unit's capo. */
export const neckOf = (unit: Pick<Unit, 'capo'>): Neck => ({ ...USUAL_NECK, capo: unit.capo });

/**
 * The shapes of a unit, with the chart's own pinned. They are chosen at the unit's own tempo, so that
 * every rung of a ladder shows and sounds the same ones.
 */
export const unitPath = (unit: Unit, shapes: readonly ChartShape[] = []): Path =>
  bestPath(chordSteps(unit, unit.tempo.bpm, shapes), unit.tuning, { neck: neckOf(unit) });

/** Sounding pitches of one chord, string 6 first, capo included; null is a muted string, empty plays nothing. */
export type Voicing = Shape['pitches'];

/** The voicing of every step of a path; what cannot be played is left silent. */
export const voicingsOf = (steps: Path['steps']): readonly Voicing[] =>
  steps.map((step) => (step.kind === 'shape' ? step.shape.pitches : []));

/** The finger on each string of one chord, string 6 first; null where a string is open or muted, empty where nothing is held. */
export type Fingers = readonly (Finger | null)[];

/** The fingers of every step of a path. */
export const fingersIn = (steps: Path['steps']): readonly Fingers[] =>
  steps.map((step) => (step.kind === 'shape' ? fingersOf(step.shape) : []));

/** What the strings sound in a unit and which fingers hold them, chord by chord, by the shapes that are shown for it. */
export function unitGrips(unit: Unit, shapes: readonly ChartShape[] = []) {
  const { steps } = unitPath(unit, shapes);
  return { voicings: voicingsOf(steps), fingers: fingersIn(steps) };
}

/** What the strings sound in a unit, chord by chord, by the shapes that are shown for it. */
export const unitVoicings = (unit: Unit, shapes: readonly ChartShape[] = []): readonly Voicing[] =>
  voicingsOf(unitPath(unit, shapes).steps);
