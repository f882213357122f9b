// The rules of a ladder, checked where data comes in.
import { z } from 'zod';
import { count } from '../base/fields.ts';
import { MAX_BPM, MIN_BPM } from '../base/units.ts';
import { beatUnitSchema } from '../chart/schema.ts';
import { DROPS, type LadderRules, ROUTES } from './model.ts';

const bpm = z.number().min(MIN_BPM).max(MAX_BPM);

const stepSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('bpm'), by: z.number().positive().max(MAX_BPM) }),
  z.strictObject({ kind: z.literal('percent'), by: z.number().positive().max(100) }),
]);

export const ladderRulesSchema = z.strictObject({
  start: bpm,
  target: bpm,
  beat: beatUnitSchema,
  step: stepSchema,
  route: z.enum(ROUTES),
  above: z.int().min(0).max(5),
  cleanToClimb: z.int().min(1).max(10),
  missedToDrop: z.int().min(1).max(10),
  drop: z.enum(DROPS),
  longestOnRung: count,
  maxPasses: count,
  maxMinutes: z
    .number()
    .min(0)
    .max(24 * 60),
  restBars: z.int().min(0).max(4),
}) satisfies z.ZodType<LadderRules>;
