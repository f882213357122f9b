// The border between the view and the machine: what may come in, parsed with zod and trusted afterwards.
import { z } from 'zod';
import { inShort, type Problem } from '../../core/base/result.ts';
import { CLICK_TIMBRES } from '../../core/timeline/click-voices.ts';
import { type ClickPattern, COUNT_INS, type LapOptions } from '../../core/timeline/model.ts';

export { isoTime, shortText } from '../../core/base/fields.ts';
export { ladderRulesSchema } from '../../core/ladder/schema.ts';
export { logEntrySchema, playedUnitSchema } from '../../core/log/schema.ts';

/** Zod's findings as problems that name the place, at most five of them. */
export const inPlainWords = (what: string, error: z.ZodError): Problem[] =>
  error.issues.slice(0, 5).map(({ path, message }) =>
    inShort({
      code: 'bad-input',
      message: `${what} is not as it should be${path.length > 0 ? ` at ‘${path.join('.')}’` : ''}: ${message}.`,
      cure: 'Correct that place and try again.',
    }),
  );

const rationalSchema = z.strictObject({ n: z.int(), d: z.int().min(1) }).readonly();

const clickPatternSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('every-beat') }),
  z.strictObject({ kind: z.literal('two-and-four') }),
  z.strictObject({ kind: z.literal('off-beats') }),
  z.strictObject({ kind: z.literal('bar-starts') }),
  z.strictObject({ kind: z.literal('gaps'), every: z.int().min(2).max(64) }),
  z.strictObject({
    kind: z.literal('growing-gaps'),
    sounding: z.int().min(1).max(64),
    longest: z.int().min(1).max(64),
  }),
  z.strictObject({ kind: z.literal('displaced'), by: rationalSchema }),
]) satisfies z.ZodType<ClickPattern>;

export const lapOptionsSchema = z.strictObject({
  countIn: z.enum(COUNT_INS),
  restBars: z.int().min(0).max(4),
  click: clickPatternSchema,
  subdivision: z.union([z.literal(1), z.literal(2), z.literal(3), z.literal(4)]),
  cueBeats: z.int().min(0).max(16),
  markChanges: z.boolean(),
  rest: z.enum(['soft', 'silent']).optional(),
  timbre: z.enum(CLICK_TIMBRES).optional(),
}) satisfies z.ZodType<LapOptions>;
