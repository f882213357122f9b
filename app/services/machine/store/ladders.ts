// The ladder last used for each unit of each chart, as a kind of document.
import { z } from 'zod';
import { checked } from '../../../core/base/checked.ts';
import { fail, ok } from '../../../core/base/result.ts';
import { unitKeySchema } from '../../../core/units/ref-schema.ts';
import type { SavedLadder } from '../../contract/contract.ts';
import {
  inPlainWords,
  ladderRulesSchema,
  lapOptionsSchema,
  shortText,
} from '../../contract/schemas.ts';
import type { DocumentKind } from './documents.ts';

const savedLadderSchema = z.strictObject({
  chart: shortText,
  unit: unitKeySchema,
  rules: ladderRulesSchema,
  options: lapOptionsSchema,
}) satisfies z.ZodType<SavedLadder>;

export const ladderKind: DocumentKind<SavedLadder> = {
  what: 'the ladders',
  one: 'ladder',
  schemaVersion: 1,
  migrations: [],
  idOf: ({ chart, unit }) => JSON.stringify([chart, unit]),
  parse: (raw) => {
    const parsed = checked(savedLadderSchema, raw);
    return parsed.success ? ok(parsed.data) : fail(...inPlainWords('The ladder', parsed.error));
  },
  seed: () => [],
};
