// Are two pieces of plain data the same?

/** Of data as JSON has it, with its fields in the same order; most of what is compared is one thing that holds in many places. */
export const same = (a: unknown, b: unknown): boolean =>
  a === b || JSON.stringify(a) === JSON.stringify(b);
