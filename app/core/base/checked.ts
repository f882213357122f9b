// A value from outside held against a schema, whatever it is made of.
import { z } from 'zod';

/**
 * As the schema's own check, but it never throws. (Zod 4 compares `length` with its bounds before it knows that there is
 * a list or a text; an object whose `length` can be no number makes that comparison throw.)
 */
export function checked<S extends z.ZodType>(
  schema: S,
  value: unknown,
): z.ZodSafeParseResult<z.output<S>> {
  try {
    return schema.safeParse(value);
  } catch {
    return nothing.safeParse(undefined) as z.ZodSafeParseError<z.output<S>>;
  }
}

const nothing = z.never('is made of nothing that could be read');
