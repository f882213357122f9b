// Arbitrary texts that people write into charts: remarks, comments, lines at the head.
import fc from 'fast-check';

/** Lines of text as people write remarks: any signs but quotation marks. */
export const remarks: fc.Arbitrary<string> = fc
  .array(
    fc.constantFrom('little', 'finger', '|', '#', '(low)', 'x2', '[', '%', 'G/B', '{', '–', ':|'),
    {
      minLength: 1,
      maxLength: 5,
    },
  )
  .map((parts) => parts.join(' '));

export const comments = fc.array(fc.oneof(remarks, fc.constant(''), fc.constant('say "when"')), {
  minLength: 1,
  maxLength: 2,
});

export const freeFields = fc.array(
  fc.record({
    name: fc.constantFrom('album', 'level', 'Played by', 'singers'),
    value: fc.oneof(
      remarks.map((text) => `on ${text}`),
      fc.constant(''),
    ),
  }),
  { minLength: 1, maxLength: 3 },
);

/** In the order of the lines that are always printed. */
export const headComments = fc
  .record({ title: comments, tempo: comments, form: comments, end: comments })
  .map((all) =>
    Object.entries(all).flatMap(([before, texts]) => texts.map((text) => ({ before, text }))),
  );
